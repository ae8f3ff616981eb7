package shoptest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"brakeside/server/operator"
	"brakeside/server/web"
)

// TypedMarkup would begin an element named typed, in a text or in an attribute.
const TypedMarkup = `"'><typed x=1>`

// Guarded serves one made-up answer as if it were a route.
func (s *Shop) Guarded(a web.Answer) http.Handler {
	s.Helper()
	site, err := web.New(web.Options{
		Store: s.Store, Base: s.Options.Base, Names: s.Options.Names, Now: s.Now, Random: s.Options.Random, Log: s.Options.Log,
	})
	if err != nil {
		s.Fatal(err)
	}
	const all = "/{rest:.*}"
	return site.Handler([]web.Route{
		{Method: "GET", Path: all, Who: web.ByAnyone, Answer: a},
		{Method: "POST", Path: all, Who: web.ByAnyone, Answer: a},
	})
}

// ChannelPhotos is where photos of the sheet of channel go.
const ChannelPhotos = "/t/" + ChannelCode + "/photos"

// JpegPhoto is a picture as a phone would send it.
func JpegPhoto(t testing.TB) []byte {
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

// PhotoRequest posts a photo as the page does.
func PhotoRequest(t testing.TB, path string, fields url.Values, picture []byte) *http.Request {
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

// PhotoFields are the fields that go with a photo, a few of them changed.
func PhotoFields(change func(url.Values)) url.Values {
	fields := url.Values{"id": {"p1"}, "piece": {"1"}, "step": {"2"}, "by": {"AB"}}
	if change != nil {
		change(fields)
	}
	return fields
}

// ChannelPresence is where a phone at the sheet of channel says that it is there.
const ChannelPresence = "/t/" + ChannelCode + "/presence"

// phoneOf is a phone with its cookies.
type phoneOf struct {
	*Shop
	name    *http.Cookie
	letters string
}

// Phone gives a phone whose user goes by some letters.
func (s *Shop) Phone(letters string) *phoneOf {
	name := letters + strings.Repeat("0", 24-len(letters))
	return &phoneOf{s, &http.Cookie{Name: operator.PhoneCookie, Value: name}, letters}
}

func (p *phoneOf) Opens(path string) string {
	p.Helper()
	answer, body := p.Get(path, p.name, &http.Cookie{Name: operator.InitialsCookie, Value: p.letters})
	if answer.StatusCode != http.StatusOK {
		p.Fatalf("GET %s = %d", path, answer.StatusCode)
	}
	return body
}

// Tells sends a sign of life and gives who else is there.
func (p *phoneOf) Tells(piece, step int, more url.Values) operator.CompanyView {
	p.Helper()
	form := url.Values{"piece": {fmt.Sprint(piece)}, "step": {fmt.Sprint(step)}, "by": {p.letters}}
	for name, values := range more {
		form[name] = values
	}
	answer, body := p.PostForm(ChannelPresence, form, p.name)
	var view operator.CompanyView
	if err := json.Unmarshal([]byte(body), &view); err != nil || answer.StatusCode != http.StatusOK {
		p.Fatalf("POST presence = %d %s", answer.StatusCode, body)
	}
	return view
}

// ChannelReadings is where readings of the sheet of channel go.
const ChannelReadings = "/t/" + ChannelCode + "/readings"

// Form gives the form of a page filled in, with some fields set.
func (s *Shop) Form(path string, set url.Values) url.Values {
	s.Helper()
	_, body := s.Get(path)
	values := Filled(One(s, Parsed(s, body), Classed("log")))
	for name, value := range set {
		values[name] = value
	}
	return values
}
