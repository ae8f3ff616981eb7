package parts_test

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"brakeside/server/entry"
	"brakeside/server/internal/shoptest"
	"brakeside/server/parts"
	"brakeside/server/shelf"
	"brakeside/server/store"
)

// upload sends the form of a part with a file, as a browser does.
func upload(s *shoptest.Shop, form url.Values, name, file string, session *http.Cookie) (*http.Response, string) {
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
	return s.Ask(r)
}

// drawingOfTray keeps a tray and gives its blank as a drawing for the cutter.
func drawingOfTray(s *shoptest.Shop, session *http.Cookie) string {
	s.Helper()
	seq := s.Send("/parts", shoptest.ExampleOf("tray", "DT-310", "A"), session)
	answer, drawing := s.Get("/parts/"+seq+"/blank.dxf", session)
	if answer.StatusCode != http.StatusOK {
		s.Fatalf("the drawing of the blank = %d", answer.StatusCode)
	}
	return drawing
}

// A drawing of a blank is sent, its layers are asked for with a guess by their
// names, and the part that is kept has the blank that was drawn.
func TestPartFromADrawing(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	drawing := drawingOfTray(s, owner)
	answer, body := upload(s, url.Values{"kind": {shelf.FileKind}, "act": {"keep"}}, "Tray 7.DXF", strings.ReplaceAll(drawing, "\n", "\r\n"), owner)
	if answer.StatusCode != http.StatusOK {
		t.Fatalf("the drawing is answered with %d: %s", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, body)))
	}
	shoptest.CheckPage(t, body)
	form := shoptest.SentBack(shoptest.One(t, shoptest.Parsed(t, body), shoptest.Named("main")))
	if form.Get("number") != "Tray 7" || form.Get("kind") != parts.DrawingKind || !strings.Contains(body, "<svg") {
		t.Fatalf("the drawing was not read: %s", shoptest.WordsIn(shoptest.Parsed(t, body)))
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
	seq := s.Send("/parts", form, owner)
	_, kept := s.Get("/parts/"+seq+"/part.json", owner)
	for _, want := range []string{`"number":"Tray 7"`, `"material":"304"`, `"angle":45`, `"angle":90`, `"flat"`} {
		if !strings.Contains(kept, want) {
			t.Errorf("the part file lacks %s: %s", want, kept)
		}
	}
	_, again := s.Get("/parts/"+seq+"/blank.dxf", owner)
	if strings.Count(again, "VERTEX") != strings.Count(drawing, "VERTEX") || strings.Count(again, "\nLINE") != strings.Count(drawing, "\nLINE") {
		t.Error("the blank of the part is not the one that was drawn")
	}
}

// layerOf stands for the field of the layer that means something.
func layerOf(meaning string) string { return "layer that is " + meaning }

// What is wrong with a drawing, or with what is said of it, is told in words
// and keeps nothing.
func TestDrawingsThatAreNoParts(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
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
			_, body := upload(s, url.Values{"kind": {shelf.FileKind}}, "x.dxf", c.file, owner)
			root := shoptest.Parsed(t, body)
			if c.field != "" {
				form := shoptest.SentBack(shoptest.One(t, root, shoptest.Named("main")))
				form.Set("act", "keep")
				field := c.field
				for name := range form {
					if c.field == layerOf(form.Get(name)) {
						field = name
					}
				}
				form.Set(field, c.value)
				root = s.Refused("/parts", form, owner)
			}
			if page := shoptest.WordsIn(root); !strings.Contains(page, c.want) {
				t.Errorf("the page lacks %q: %s", c.want, page)
			}
		})
	}
	if kept, err := s.Store.Newest(t.Context(), store.Parts); err == nil && len(kept) > 1 {
		t.Errorf("%d parts are kept", len(kept))
	}
}
