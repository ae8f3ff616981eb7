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
	"brakeside/server/admit"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

const (
	mostUpload   = store.MostPhoto + 64<<10 // bytes of a posted photo with its fields
	uploadInMind = 256 << 10                // bytes of it kept in memory while it comes in
	uploadTakes  = 2 * time.Minute          // at most, on a bad network
	mostPixels   = 100_000_000              // of one photo
)

// A photo comes in at no less than leastRate once the first moment is over: a line
// that is only held open is given up.
const (
	firstMoment = 10 * time.Second
	leastRate   = 4 << 10 // bytes a second
)

// How many photos come in side by side, each kept on the disk meanwhile, and how
// many of those that are here are worked on, each whole in memory.
var (
	incomingRule = admit.Rule{Places: 24, Each: 6, Wait: 96, Behind: 24}
	uploadRule   = admit.Rule{Places: 2, Each: 1, Wait: 24, Behind: 6}
)

var photoKinds = map[string]string{"jpeg": "image/jpeg", "png": "image/png"}

// AddPhoto keeps a photo of a bend, or of what was pencilled on the sheet. It
// answers a program with JSON and a form with the page it came from.
func (s *Section) AddPhoto(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheetToAdd(r)
	if err != nil {
		return err
	}
	leave, err := web.Enter(r.Context(), s.incoming, web.Party(r))
	if err != nil {
		return err
	}
	defer leave()
	if err := readUploadForm(w, r); err != nil {
		return err
	}
	defer r.MultipartForm.RemoveAll()
	work, err := web.Enter(r.Context(), s.uploads, web.Party(r))
	if err != nil {
		return err
	}
	defer work()
	photo, picture, err := readPhoto(r)
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

// readUploadForm reads the body of a posted photo.
func readUploadForm(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, steady(w, r.Body), mostUpload)
	if err := r.ParseMultipartForm(uploadInMind); err != nil {
		return uploadFault(err)
	}
	return nil
}

// readPhoto takes a photo out of a form that was read.
func readPhoto(r *http.Request) (store.Photo, []byte, error) {
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

// steadyBody is a body that may take longer to come in than others, as long as it
// comes steadily.
type steadyBody struct {
	io.ReadCloser
	line  *http.ResponseController
	began time.Time
	come  int64 // bytes
}

// steady makes a body steady. A connection whose limit cannot be moved keeps its own.
// The limit is that of the connection, which goes by the clock of the machine.
func steady(w http.ResponseWriter, body io.ReadCloser) io.ReadCloser {
	s := &steadyBody{ReadCloser: body, line: http.NewResponseController(w), began: time.Now()}
	if s.line.SetReadDeadline(s.due()) != nil {
		return body
	}
	return s
}

// due is when the next bytes must have come.
func (s *steadyBody) due() time.Time {
	return s.began.Add(min(uploadTakes, firstMoment+time.Duration(s.come)*time.Second/leastRate))
}

// Read implements io.Reader.
func (s *steadyBody) Read(p []byte) (int, error) {
	n, err := s.ReadCloser.Read(p)
	if s.come += int64(n); n > 0 && err == nil {
		_ = s.line.SetReadDeadline(s.due())
	}
	return n, err
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
