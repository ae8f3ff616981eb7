package server

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"brakeside/server/entry"
	"brakeside/server/store"
)

// upload sends the form of a part with a file, as a browser does.
func (s *shop) upload(form url.Values, name, file string, session *http.Cookie) (*http.Response, string) {
	s.Helper()
	var body bytes.Buffer
	out := multipart.NewWriter(&body)
	for field, values := range form {
		if err := out.WriteField(field, values[0]); err != nil {
			s.Fatal(err)
		}
	}
	part, err := out.CreateFormFile("upload", name)
	if err != nil {
		s.Fatal(err)
	}
	if _, err := part.Write([]byte(file)); err != nil {
		s.Fatal(err)
	}
	if err := out.Close(); err != nil {
		s.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodPost, "/parts", &body)
	r.Header.Set("Content-Type", out.FormDataContentType())
	r.AddCookie(session)
	return s.ask(r)
}

// sentBack gives a form of a page as a browser would send it back.
func sentBack(root *html.Node) url.Values {
	form := url.Values{}
	for _, n := range all(root, named("input")) {
		if name := attribute(n, "name"); name != "" && attribute(n, "type") != "file" {
			form.Set(name, attribute(n, "value"))
		}
	}
	for _, n := range all(root, named("select")) {
		options := all(n, named("option"))
		value := attribute(options[0], "value")
		for _, o := range options {
			if has(o, "selected") {
				value = attribute(o, "value")
			}
		}
		form.Set(attribute(n, "name"), value)
	}
	return form
}

// drawingOfTray keeps a tray and gives its blank as a drawing for the cutter.
func drawingOfTray(s *shop, session *http.Cookie) string {
	s.Helper()
	seq := s.send("/parts", exampleOf("tray", "DT-310", "A"), session)
	answer, drawing := s.get("/parts/"+seq+"/blank.dxf", session)
	if answer.StatusCode != http.StatusOK {
		s.Fatalf("the drawing of the blank = %d", answer.StatusCode)
	}
	return drawing
}

// A drawing of a blank is sent, its layers are asked for with a guess by their
// names, and the part that is kept has the blank that was drawn.
func TestPartFromADrawing(t *testing.T) {
	s, owner := openOffice(t)
	drawing := drawingOfTray(s, owner)
	answer, body := s.upload(url.Values{"kind": {fileKind}, "act": {"keep"}}, "Tray 7.DXF", strings.ReplaceAll(drawing, "\n", "\r\n"), owner)
	if answer.StatusCode != http.StatusOK {
		t.Fatalf("the drawing is answered with %d: %s", answer.StatusCode, wordsIn(parsed(t, body)))
	}
	checkPage(t, body)
	form := sentBack(one(t, parsed(t, body), named("main")))
	if form.Get("number") != "Tray 7" || form.Get("kind") != drawingKind || !strings.Contains(body, "<svg") {
		t.Fatalf("the drawing was not read: %s", wordsIn(parsed(t, body)))
	}
	means := []string{}
	for i := range 2 {
		means = append(means, form.Get(entry.LayerField(i)))
	}
	if slices.Sort(means); !slices.Equal(means, []string{"outline", "up"}) {
		t.Errorf("the layers are guessed to be %q", means)
	}
	form.Set("thickness", "1")
	form.Set("material", "304")
	form.Set(entry.BendField("b2"), "45")
	form.Set("act", "keep")
	seq := s.send("/parts", form, owner)
	_, kept := s.get("/parts/"+seq+"/part.json", owner)
	for _, want := range []string{`"number":"Tray 7"`, `"material":"304"`, `"angle":45`, `"angle":90`, `"flat"`} {
		if !strings.Contains(kept, want) {
			t.Errorf("the part file lacks %s: %s", want, kept)
		}
	}
	_, again := s.get("/parts/"+seq+"/blank.dxf", owner)
	if strings.Count(again, "VERTEX") != strings.Count(drawing, "VERTEX") || strings.Count(again, "\nLINE") != strings.Count(drawing, "\nLINE") {
		t.Error("the blank of the part is not the one that was drawn")
	}
}

// layerOf stands for the field of the layer that means something.
func layerOf(meaning string) string { return "layer that is " + meaning }

// What is wrong with a drawing, or with what is said of it, is told in words
// and keeps nothing.
func TestDrawingsThatAreNoParts(t *testing.T) {
	s, owner := openOffice(t)
	drawing := drawingOfTray(s, owner)
	for _, c := range []struct{ name, file, field, value, want string }{
		{"not a drawing", "not a drawing at all", "", "", "DXF"},
		{"no outline", drawing, layerOf("outline"), "-", "Say which layer the outline is on."},
		{"no bends", drawing, layerOf("up"), "-", "bend"},
		{"angle", drawing, "angle", "200", "is no bend angle"},
		{"one angle", drawing, "bend[b1]", "x", "is no bend angle"},
		{"thickness", drawing, "thickness", "-1", "more than nothing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, body := s.upload(url.Values{"kind": {fileKind}}, "x.dxf", c.file, owner)
			root := parsed(t, body)
			if c.field != "" {
				form := sentBack(one(t, root, named("main")))
				form.Set("act", "keep")
				field := c.field
				for name := range form {
					if c.field == layerOf(form.Get(name)) {
						field = name
					}
				}
				form.Set(field, c.value)
				root = s.refused("/parts", form, owner)
			}
			if page := wordsIn(root); !strings.Contains(page, c.want) {
				t.Errorf("the page lacks %q: %s", c.want, page)
			}
		})
	}
	if kept, err := s.store.Newest(t.Context(), store.Parts); err == nil && len(kept) > 1 {
		t.Errorf("%d parts are kept", len(kept))
	}
}
