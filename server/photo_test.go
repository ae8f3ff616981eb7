package server

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"

	"brakeside/server/store"
)

const channelPhotos = "/t/" + channelCode + "/photos"

// jpegPhoto is a picture as a phone would send it.
func jpegPhoto(t testing.TB) []byte {
	t.Helper()
	picture := image.NewGray(image.Rect(0, 0, 64, 48))
	for i := range picture.Pix {
		picture.Pix[i] = uint8(i * 7)
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture, nil); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// pngHead is the beginning of a PNG that claims a size; nothing follows.
func pngHead(width, height uint32) []byte {
	head := []byte("IHDR")
	head = binary.BigEndian.AppendUint32(head, width)
	head = binary.BigEndian.AppendUint32(head, height)
	head = append(head, 8, 0, 0, 0, 0)
	out := append([]byte("\x89PNG\r\n\x1a\n"), 0, 0, 0, 13)
	out = append(out, head...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(head))
}

// photoRequest posts a photo as the page does.
func photoRequest(t testing.TB, path string, fields url.Values, picture []byte) *http.Request {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, values := range fields {
		for _, v := range values {
			if err := form.WriteField(name, v); err != nil {
				t.Fatal(err)
			}
		}
	}
	if picture != nil {
		file, err := form.CreateFormFile("photo", "../../etc/IMG 1.jpg")
		if err != nil {
			t.Fatal(err)
		}
		file.Write(picture)
	}
	form.Close()
	r := httptest.NewRequest("POST", path, &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return r
}

func photoFields(change func(url.Values)) url.Values {
	fields := url.Values{"id": {"p1"}, "piece": {"1"}, "step": {"2"}, "by": {"AB"}}
	if change != nil {
		change(fields)
	}
	return fields
}

func TestPhotoFromTheBendPage(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	_, page := s.get("/t/" + channelCode + "/2?piece=1")
	form := one(t, parsed(t, page), classed("photo"))
	if kind := attribute(form, "enctype"); kind != "multipart/form-data" || attribute(form, "action") != channelPhotos {
		t.Fatalf("the photo goes to %s as %s", attribute(form, "action"), kind)
	}
	fields := filled(form)
	fields.Del("photo")
	answer, body := s.ask(photoRequest(t, channelPhotos, fields, jpegPhoto(t)))
	if to := answer.Header.Get("Location"); answer.StatusCode != http.StatusSeeOther || to != "/t/"+channelCode+"/2?piece=1" {
		t.Fatalf("POST the photo = %d to %q %s, want 303 to the bend", answer.StatusCode, to, body)
	}
	if again, _ := s.ask(photoRequest(t, channelPhotos, fields, jpegPhoto(t))); again.StatusCode != http.StatusSeeOther {
		t.Errorf("the same photo again = %d, want 303", again.StatusCode)
	}
	_, page = s.get("/t/" + channelCode + "/2?piece=1")
	if words := wordsIn(one(t, parsed(t, page), classed("photo"))); !strings.Contains(words, "1 kept of this bend") {
		t.Errorf("the form says %q, want that one is kept", words)
	}
	_, owners := s.get("/jobs/"+channelCode+"/photos", session)
	checkPage(t, owners)
	pictures := all(parsed(t, owners), named("img"))
	if len(pictures) != 1 || !strings.Contains(attribute(pictures[0], "alt"), "piece 1, step 2") {
		t.Fatalf("the owner sees %d photos: %s", len(pictures), owners)
	}
	sent, bytesSent := s.get(attribute(pictures[0], "src"), session)
	if sent.Header.Get("Content-Type") != "image/jpeg" || bytesSent != string(jpegPhoto(t)) {
		t.Errorf("the photo comes back as %s with %d bytes", sent.Header.Get("Content-Type"), len(bytesSent))
	}
	if answer, _ := s.get("/jobs/"+trayCode+"/photos/1", session); answer.StatusCode != http.StatusNotFound {
		t.Errorf("the photo under another sheet = %d, want 404", answer.StatusCode)
	}
	if _, none := s.get("/jobs/"+trayCode+"/photos", session); !strings.Contains(none, "No photo has been taken") {
		t.Error("the page of a sheet without photos does not say so")
	}
}

func TestPhotoFromTheVerdict(t *testing.T) {
	s := openShop(t)
	s.recordFirstPiece()
	_, page := s.get("/t/" + channelCode + "?saved=f2")
	fields := filled(one(t, parsed(t, page), classed("photo")))
	if fields.Get("reading") != "f2" || fields.Get("step") != "2" {
		t.Fatalf("the form is filled with %v, want the reading f2 of step 2", fields)
	}
	fields.Del("photo")
	answer, _ := s.ask(photoRequest(t, channelPhotos, fields, jpegPhoto(t)))
	if to := answer.Header.Get("Location"); to != "/t/"+channelCode+"?saved=f2" {
		t.Errorf("POST the photo goes to %q, want back to the verdict", to)
	}
	photos, err := s.store.Photos(t.Context(), channelCode)
	if err != nil || len(photos) != 1 || photos[0].Reading != "f2" {
		t.Errorf("stored %+v, %v, want the photo with its reading", photos, err)
	}
}

func TestPhotoForAProgram(t *testing.T) {
	s := openShop(t)
	r := photoRequest(t, channelPhotos, photoFields(nil), pngHead(30, 20))
	r.Header.Set("Accept", "application/json")
	answer, body := s.ask(r)
	if photo, _ := decode(t, body)["photo"].(map[string]any); answer.StatusCode != http.StatusCreated || photo["id"] != "p1" || photo["size"] != 33.0 {
		t.Errorf("POST = %d %s, want 201 and the photo", answer.StatusCode, body)
	}
	r = photoRequest(t, channelPhotos, photoFields(nil), []byte("no picture"))
	r.Header.Set("Accept", "application/json")
	answer, body = s.ask(r)
	if problem, _ := decode(t, body)["error"].(map[string]any); answer.StatusCode != http.StatusUnprocessableEntity || problem["field"] != "photo" {
		t.Errorf("POST what is no photo = %d %s, want 422 about the photo", answer.StatusCode, body)
	}
}

func TestPhotoRefusals(t *testing.T) {
	s := openShop(t)
	s.decide(trayCode, store.EventVoided, "wrong drawing")
	var moving bytes.Buffer
	if err := gif.Encode(&moving, image.NewPaletted(image.Rect(0, 0, 2, 2), color.Palette{color.Black}), nil); err != nil {
		t.Fatal(err)
	}
	var small bytes.Buffer
	if err := png.Encode(&small, image.NewGray(image.Rect(0, 0, 2, 2))); err != nil {
		t.Fatal(err)
	}
	cases := []struct {
		name    string
		path    string
		fields  url.Values
		picture []byte
		want    int
	}{
		{"no file", channelPhotos, photoFields(nil), nil, 422},
		{"an empty file", channelPhotos, photoFields(nil), []byte{}, 422},
		{"a page", channelPhotos, photoFields(nil), []byte("<html><script>alert(1)</script>"), 422},
		{"a moving picture", channelPhotos, photoFields(nil), moving.Bytes(), 422},
		{"a drawing with script", channelPhotos, photoFields(nil), []byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`), 422},
		{"a picture that would fill all memory", channelPhotos, photoFields(nil), pngHead(60_000, 60_000), 422},
		{"a picture of a negative size", channelPhotos, photoFields(nil), pngHead(0xFFFFFFF0, 4), 422},
		{"9 MB", channelPhotos, photoFields(nil), bytes.Repeat([]byte{0xFF}, 9<<20), 413},
		{"8 MB and one byte", channelPhotos, photoFields(nil), bytes.Repeat([]byte{0xFF}, store.MostPhoto+1), 413},
		{"no id", channelPhotos, photoFields(func(f url.Values) { f.Del("id") }), small.Bytes(), 422},
		{"an id that is a tag", channelPhotos, photoFields(func(f url.Values) { f.Set("id", "<b>") }), small.Bytes(), 422},
		{"a step that is not there", channelPhotos, photoFields(func(f url.Values) { f.Set("step", "9") }), small.Bytes(), 422},
		{"a piece that is none", channelPhotos, photoFields(func(f url.Values) { f.Set("piece", "x") }), small.Bytes(), 422},
		{"a reading that is not there", channelPhotos, photoFields(func(f url.Values) { f.Set("reading", "nobody") }), small.Bytes(), 422},
		{"an unknown code", "/t/" + unknownCode + "/photos", photoFields(nil), small.Bytes(), 404},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			answer, body := s.ask(photoRequest(t, c.path, c.fields, c.picture))
			if answer.StatusCode != c.want {
				t.Errorf("POST = %d %s, want %d", answer.StatusCode, wordsIn(parsed(t, body)), c.want)
			}
			checkPage(t, body)
			checkHeaders(t, answer)
		})
	}
	if photos, err := s.store.Photos(t.Context(), channelCode); err != nil || len(photos) != 0 {
		t.Errorf("stored %d photos, %v, want none", len(photos), err)
	}
	for name, kind := range map[string]string{"a plain form": formType, "no boundary": "multipart/form-data", "JSON": "application/json"} {
		r := httptest.NewRequest("POST", channelPhotos, strings.NewReader("id=p1"))
		r.Header.Set("Content-Type", kind)
		if answer, _ := s.ask(r); answer.StatusCode != http.StatusBadRequest {
			t.Errorf("%s = %d, want 400", name, answer.StatusCode)
		}
	}
	r := photoRequest(t, channelPhotos, photoFields(nil), small.Bytes())
	r.Body = http.MaxBytesReader(nil, r.Body, 200) // breaks off
	if answer, _ := s.ask(r); answer.StatusCode < 400 {
		t.Errorf("a photo that breaks off = %d, want a refusal", answer.StatusCode)
	}
}

// Many at once are taken in one after the other, and all of them are kept.
func TestPhotosAtTheSameMoment(t *testing.T) {
	s := openShop(t)
	picture := jpegPhoto(t)
	var wait sync.WaitGroup
	for i := range 12 {
		r := photoRequest(t, channelPhotos, photoFields(func(f url.Values) { f.Set("id", "p"+string(rune('a'+i))) }), picture)
		wait.Go(func() {
			w := httptest.NewRecorder()
			s.pages.ServeHTTP(w, r)
			if w.Code != http.StatusSeeOther {
				t.Errorf("POST = %d %s", w.Code, w.Body)
			}
		})
	}
	wait.Wait()
	if photos, err := s.store.Photos(t.Context(), channelCode); err != nil || len(photos) != 12 {
		t.Errorf("stored %d photos, %v, want 12", len(photos), err)
	}
}

// Any bytes at all as a photo are refused or kept, and are answered as
// checkAnswer wants it.
func FuzzPhotos(f *testing.F) {
	s := fuzzShop(f)
	for _, d := range s.seedsOf(fuzzPhotos) {
		f.Add(d.kind, []byte(d.body), false)
	}
	f.Add("multipart/form-data; boundary=x", []byte("--x\r\nContent-Disposition: form-data; name=\"id\"\r\n\r\np\r\n--x--"), true)
	for _, picture := range [][]byte{pngHead(3, 3), pngHead(60_000, 60_000), jpegPhoto(f), []byte(typedMarkup)} {
		r := photoRequest(f, channelPhotos, photoFields(nil), picture)
		var body bytes.Buffer
		body.ReadFrom(r.Body)
		f.Add(r.Header.Get("Content-Type"), body.Bytes(), false)
	}
	f.Fuzz(func(t *testing.T, kind string, body []byte, program bool) {
		who := map[bool]uint8{true: 129, false: 0}[program] // 129 is nobody, who asks for JSON
		s.tries(t, seed{"POST", channelPhotos, kind, string(body)}, who)
	})
}
