package operator

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"image"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"time"

	"brakeside/calc/fault"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

const (
	mostUpload    = store.MostPhoto + 64<<10 // bytes of a posted photo with its fields
	uploadInMind  = 256 << 10                // bytes of it kept in memory while it comes in
	uploadsAtOnce = 2                        // photos worked on at a time, so that memory is bounded
	uploadTakes   = 2 * time.Minute          // at most, on a bad network
	mostPixels    = 100_000_000              // of one photo
)

var photoKinds = map[string]string{"jpeg": "image/jpeg", "png": "image/png"}

// AddPhoto keeps a photo of a bend, or of what was pencilled on the sheet. It
// answers a program with JSON and a form with the page it came from.
func (s *Section) AddPhoto(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheet(r)
	if err != nil {
		return err
	}
	select {
	case s.uploads <- struct{}{}:
		defer func() { <-s.uploads }()
	case <-r.Context().Done():
		return r.Context().Err()
	}
	photo, picture, err := readPhoto(w, r)
	if err != nil {
		return err
	}
	photo.Code = kept.Traveler.Code
	if err := s.Store.AddPhoto(r.Context(), photo, picture); err != nil {
		return err
	}
	s.News.Tell()
	if web.WantsJSON(r) {
		return s.ShowJSON(w, http.StatusCreated, map[string]photoJSON{"photo": {photo.ID, photo.Piece, photo.Step, len(picture)}})
	}
	to := spotAddress(kept.Traveler.Code, progress.Spot{Piece: photo.Piece, Step: photo.Step})
	if photo.Reading != "" {
		to = sheetAddress(kept.Traveler.Code) + "?saved=" + url.QueryEscape(photo.Reading)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

type photoJSON struct {
	ID    string `json:"id"`
	Piece int    `json:"piece"`
	Step  int    `json:"step"`
	Size  int    `json:"size"`
}

// readPhoto reads a posted photo with its fields.
func readPhoto(w http.ResponseWriter, r *http.Request) (store.Photo, []byte, error) {
	defer patient(w)()
	r.Body = http.MaxBytesReader(w, r.Body, mostUpload)
	if err := r.ParseMultipartForm(uploadInMind); err != nil {
		return store.Photo{}, nil, uploadFault(err)
	}
	defer r.MultipartForm.RemoveAll()
	form := url.Values(r.MultipartForm.Value)
	spot := spotIn(form)
	photo := store.Photo{
		ID: form.Get("id"), Piece: spot.Piece, Step: spot.Step, Reading: form.Get("reading"),
		By: initials(cmp.Or(form.Get("by"), web.Remembered(r, InitialsCookie))),
	}
	if !progress.IsID(photo.ID) {
		return photo, nil, fault.New(fault.Invalid, "id", "A photo comes with an id of 1 to 64 letters, digits or . _ : - signs.")
	}
	files := r.MultipartForm.File["photo"]
	if len(files) != 1 || files[0].Size == 0 {
		return photo, nil, fault.New(fault.Invalid, "photo", "There is no photo. Take one or choose one, then keep it.")
	}
	picture, err := readUpload(files[0])
	if err != nil {
		return photo, nil, err
	}
	photo.Kind, err = kindOf(picture)
	return photo, picture, err
}

// patient lets a request take longer to come in than others may, and gives what
// ends that. A connection that cannot do so keeps its usual limit.
func patient(w http.ResponseWriter) (end func()) {
	line := http.NewResponseController(w)
	if line.SetReadDeadline(time.Time{}) != nil {
		return func() {}
	}
	late := time.AfterFunc(uploadTakes, func() { _ = line.SetReadDeadline(time.Unix(1, 0)) })
	return func() { late.Stop() }
}

func uploadFault(err error) error {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return fault.New(fault.TooLarge, "photo", "A photo has at most %d MB. Take it with a smaller size.", store.MostPhoto>>20)
	}
	if errors.Is(err, http.ErrNotMultipart) || errors.Is(err, http.ErrMissingBoundary) {
		return web.Unreadable("A photo is sent as a form with a file.")
	}
	return web.Unreadable("The photo did not come through whole. Send it again.")
}

func readUpload(file *multipart.FileHeader) ([]byte, error) {
	if file.Size > store.MostPhoto {
		return nil, fault.New(fault.TooLarge, "photo", "A photo has at most %d MB. Take it with a smaller size.", store.MostPhoto>>20)
	}
	f, err := file.Open()
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}

// kindOf gives the media type of a photo from its first bytes. Nothing here
// unpacks a photo; one that would fill a browser's memory is refused by the size
// it claims.
func kindOf(picture []byte) (string, error) {
	size, form, err := image.DecodeConfig(bytes.NewReader(picture))
	kind, known := photoKinds[form]
	if err != nil || !known {
		return "", fault.New(fault.Invalid, "photo", "This is no photo in the JPEG or PNG form. Choose another.")
	}
	if size.Width <= 0 || size.Height <= 0 || size.Width > mostPixels/size.Height {
		return "", fault.New(fault.Invalid, "photo", "A photo has at most %d million points. Take it with a smaller size.", mostPixels/1_000_000)
	}
	return kind, nil
}

// photoForm is the little form that takes a photo of a bend.
type photoForm struct {
	Code, ID, Reading string
	Piece, Step       int
	Kept              int // photos of this bend so far
}

func (s *Section) photoForm(ctx context.Context, kept store.Kept, spot progress.Spot) (photoForm, error) {
	form := photoForm{Code: kept.Traveler.Code, Piece: spot.Piece, Step: spot.Step}
	code := kept.Traveler.Code
	photos, err := s.photos.Get(s.Store.Changes(), code, func() ([]store.Photo, error) { return s.Store.Photos(ctx, code) })
	if err != nil {
		return form, err
	}
	for _, p := range photos {
		if p.Piece == spot.Piece && p.Step == spot.Step {
			form.Kept++
		}
	}
	form.ID, err = s.NewID()
	return form, err
}
