package operator_test

import (
	"bytes"
	"image"
	"image/color"
	"image/gif"
	"image/png"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"brakeside/traveler/standing"
)

func TestPhotoFromTheBendPage(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	_, page := s.Get("/t/" + shoptest.ChannelCode + "/2?piece=1")
	form := shoptest.One(t, shoptest.Parsed(t, page), shoptest.Classed("photo"))
	if kind := shoptest.Attribute(form, "enctype"); kind != "multipart/form-data" || shoptest.Attribute(form, "action") != shoptest.ChannelPhotos {
		t.Fatalf("the photo goes to %s as %s", shoptest.Attribute(form, "action"), kind)
	}
	fields := shoptest.Filled(form)
	fields.Del("photo")
	answer, body := s.Ask(shoptest.PhotoRequest(t, shoptest.ChannelPhotos, fields, shoptest.JpegPhoto(t)))
	if to := answer.Header.Get("Location"); answer.StatusCode != http.StatusSeeOther || to != "/t/"+shoptest.ChannelCode+"/2?piece=1" {
		t.Fatalf("POST the photo = %d to %q %s, want 303 to the bend", answer.StatusCode, to, body)
	}
	if again, _ := s.Ask(shoptest.PhotoRequest(t, shoptest.ChannelPhotos, fields, shoptest.JpegPhoto(t))); again.StatusCode != http.StatusSeeOther {
		t.Errorf("the same photo again = %d, want 303", again.StatusCode)
	}
	_, page = s.Get("/t/" + shoptest.ChannelCode + "/2?piece=1")
	if words := shoptest.WordsIn(shoptest.One(t, shoptest.Parsed(t, page), shoptest.Classed("photo"))); !strings.Contains(words, "1 saved of this bend") {
		t.Errorf("the form says %q, want that one is kept", words)
	}
	_, owners := s.Get("/jobs/"+shoptest.ChannelCode+"/photos", session)
	shoptest.CheckPage(t, owners)
	pictures := shoptest.All(shoptest.Parsed(t, owners), shoptest.Named("img"))
	if len(pictures) != 1 || !strings.Contains(shoptest.Attribute(pictures[0], "alt"), "piece 1, step 2") {
		t.Fatalf("the owner sees %d photos: %s", len(pictures), owners)
	}
	sent, bytesSent := s.Get(shoptest.Attribute(pictures[0], "src"), session)
	if sent.Header.Get("Content-Type") != "image/jpeg" || bytesSent != string(shoptest.JpegPhoto(t)) {
		t.Errorf("the photo comes back as %s with %d bytes", sent.Header.Get("Content-Type"), len(bytesSent))
	}
	if answer, _ := s.Get("/jobs/"+shoptest.TrayCode+"/photos/1", session); answer.StatusCode != http.StatusNotFound {
		t.Errorf("the photo under another sheet = %d, want 404", answer.StatusCode)
	}
	if _, none := s.Get("/jobs/"+shoptest.TrayCode+"/photos", session); !strings.Contains(none, "No photo has been taken") {
		t.Error("the page of a sheet without photos does not say so")
	}
}

func TestPhotoFromTheVerdict(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	_, page := s.Get("/t/" + shoptest.ChannelCode + "?saved=f2")
	fields := shoptest.Filled(shoptest.One(t, shoptest.Parsed(t, page), shoptest.Classed("photo")))
	if fields.Get("reading") != "f2" || fields.Get("step") != "2" {
		t.Fatalf("the form is filled with %v, want the reading f2 of step 2", fields)
	}
	fields.Del("photo")
	answer, _ := s.Ask(shoptest.PhotoRequest(t, shoptest.ChannelPhotos, fields, shoptest.JpegPhoto(t)))
	if to := answer.Header.Get("Location"); to != "/t/"+shoptest.ChannelCode+"?saved=f2" {
		t.Errorf("POST the photo goes to %q, want back to the verdict", to)
	}
	photos, err := s.Store.Photos(t.Context(), shoptest.ChannelCode)
	if err != nil || len(photos) != 1 || photos[0].Reading != "f2" {
		t.Errorf("stored %+v, %v, want the photo with its reading", photos, err)
	}
}

func TestPhotoForAProgram(t *testing.T) {
	s := shoptest.OpenShop(t)
	r := shoptest.PhotoRequest(t, shoptest.ChannelPhotos, shoptest.PhotoFields(nil), shoptest.PngHead(30, 20))
	r.Header.Set("Accept", "application/json")
	answer, body := s.Ask(r)
	if photo, _ := shoptest.Decode(t, body)["photo"].(map[string]any); answer.StatusCode != http.StatusCreated || photo["id"] != "p1" || photo["size"] != 33.0 {
		t.Errorf("POST = %d %s, want 201 and the photo", answer.StatusCode, body)
	}
	r = shoptest.PhotoRequest(t, shoptest.ChannelPhotos, shoptest.PhotoFields(nil), []byte("no picture"))
	r.Header.Set("Accept", "application/json")
	answer, body = s.Ask(r)
	if problem, _ := shoptest.Decode(t, body)["error"].(map[string]any); answer.StatusCode != http.StatusUnprocessableEntity || problem["field"] != "photo" {
		t.Errorf("POST what is no photo = %d %s, want 422 about the photo", answer.StatusCode, body)
	}
}

func TestPhotoRefusals(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Decide(shoptest.TrayCode, standing.Voided, "wrong drawing")
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
		{"no file", shoptest.ChannelPhotos, shoptest.PhotoFields(nil), nil, 422},
		{"an empty file", shoptest.ChannelPhotos, shoptest.PhotoFields(nil), []byte{}, 422},
		{"a page", shoptest.ChannelPhotos, shoptest.PhotoFields(nil), []byte("<html><script>alert(1)</script>"), 422},
		{"a moving picture", shoptest.ChannelPhotos, shoptest.PhotoFields(nil), moving.Bytes(), 422},
		{"a drawing with script", shoptest.ChannelPhotos, shoptest.PhotoFields(nil), []byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`), 422},
		{"a picture that would fill all memory", shoptest.ChannelPhotos, shoptest.PhotoFields(nil), shoptest.PngHead(60_000, 60_000), 422},
		{"a picture of a negative size", shoptest.ChannelPhotos, shoptest.PhotoFields(nil), shoptest.PngHead(0xFFFFFFF0, 4), 422},
		{"9 MB", shoptest.ChannelPhotos, shoptest.PhotoFields(nil), bytes.Repeat([]byte{0xFF}, 9<<20), 413},
		{"8 MB and one byte", shoptest.ChannelPhotos, shoptest.PhotoFields(nil), bytes.Repeat([]byte{0xFF}, store.MostPhoto+1), 413},
		{"no id", shoptest.ChannelPhotos, shoptest.PhotoFields(func(f url.Values) { f.Del("id") }), small.Bytes(), 422},
		{"an id that is a tag", shoptest.ChannelPhotos, shoptest.PhotoFields(func(f url.Values) { f.Set("id", "<b>") }), small.Bytes(), 422},
		{"a step that is not there", shoptest.ChannelPhotos, shoptest.PhotoFields(func(f url.Values) { f.Set("step", "9") }), small.Bytes(), 422},
		{"a piece that is none", shoptest.ChannelPhotos, shoptest.PhotoFields(func(f url.Values) { f.Set("piece", "x") }), small.Bytes(), 422},
		{"a reading that is not there", shoptest.ChannelPhotos, shoptest.PhotoFields(func(f url.Values) { f.Set("reading", "nobody") }), small.Bytes(), 422},
		{"an unknown code", "/t/" + shoptest.UnknownCode + "/photos", shoptest.PhotoFields(nil), small.Bytes(), 404},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			answer, body := s.Ask(shoptest.PhotoRequest(t, c.path, c.fields, c.picture))
			if answer.StatusCode != c.want {
				t.Errorf("POST = %d %s, want %d", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, body)), c.want)
			}
			shoptest.CheckPage(t, body)
			shoptest.CheckHeaders(t, answer)
		})
	}
	if photos, err := s.Store.Photos(t.Context(), shoptest.ChannelCode); err != nil || len(photos) != 0 {
		t.Errorf("stored %d photos, %v, want none", len(photos), err)
	}
	for name, kind := range map[string]string{"a plain form": shoptest.FormType, "no boundary": "multipart/form-data", "JSON": "application/json"} {
		r := httptest.NewRequest("POST", shoptest.ChannelPhotos, strings.NewReader("id=p1"))
		r.Header.Set("Content-Type", kind)
		if answer, _ := s.Ask(r); answer.StatusCode != http.StatusBadRequest {
			t.Errorf("%s = %d, want 400", name, answer.StatusCode)
		}
	}
	r := shoptest.PhotoRequest(t, shoptest.ChannelPhotos, shoptest.PhotoFields(nil), small.Bytes())
	r.Body = http.MaxBytesReader(nil, r.Body, 200) // breaks off
	if answer, _ := s.Ask(r); answer.StatusCode < 400 {
		t.Errorf("a photo that breaks off = %d, want a refusal", answer.StatusCode)
	}
}

// Many at once are taken in one after the other, and all of them are kept.
func TestPhotosAtTheSameMoment(t *testing.T) {
	s := shoptest.OpenShop(t)
	picture := shoptest.JpegPhoto(t)
	var wait sync.WaitGroup
	for i := range 12 {
		r := shoptest.PhotoRequest(t, shoptest.ChannelPhotos, shoptest.PhotoFields(func(f url.Values) { f.Set("id", "p"+string(rune('a'+i))) }), picture)
		wait.Go(func() {
			w := httptest.NewRecorder()
			s.Pages.ServeHTTP(w, r)
			if w.Code != http.StatusSeeOther {
				t.Errorf("POST = %d %s", w.Code, w.Body)
			}
		})
	}
	wait.Wait()
	if photos, err := s.Store.Photos(t.Context(), shoptest.ChannelCode); err != nil || len(photos) != 12 {
		t.Errorf("stored %d photos, %v, want 12", len(photos), err)
	}
}
