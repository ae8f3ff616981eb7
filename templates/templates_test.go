package templates

import (
	"strings"
	"testing"
)

func TestParseFindsEveryPage(t *testing.T) {
	set, err := Parse()
	if err != nil {
		t.Fatal(err)
	}
	names := strings.Join(set.Names(), " ")
	for _, want := range []string{"operator/bend", "operator/verdict", "operator/ask", "operator/halt", "owner/jobs", "owner/review"} {
		if !strings.Contains(names, want) {
			t.Errorf("Parse() found %q, want %s among them", names, want)
		}
	}
}

func TestWriteEscapesWhatItPlaces(t *testing.T) {
	set, err := Parse()
	if err != nil {
		t.Fatal(err)
	}
	var page strings.Builder
	view := struct{ Next, Message string }{`"><script>alert(1)</script>`, "<b>no</b>"}
	if err := set.Write(&page, "owner/signin", view); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{"<script>alert", "<b>no"} {
		if strings.Contains(page.String(), bad) {
			t.Errorf("the page holds %q unescaped", bad)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	set, err := Parse()
	if err != nil {
		t.Fatal(err)
	}
	var page strings.Builder
	if err := set.Write(&page, "owner/nothing", nil); err == nil {
		t.Error("Write of a page that is not there = nil, want an error")
	}
	if err := set.Write(&page, "owner/signin", struct{ Next string }{"/"}); err == nil {
		t.Error("Write with a view that lacks a field = nil, want an error")
	}
	if err := set.Write(&page, "owner/signin", map[string]string{"Next": "/"}); err == nil {
		t.Error("Write with a map that lacks a key = nil, want an error")
	}
}

func TestAsset(t *testing.T) {
	first, err := Asset("brakeside.css")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(first, "/static/brakeside.css?v=") || len(first) != len("/static/brakeside.css?v=")+12 {
		t.Errorf("Asset(brakeside.css) = %q, want its path and 12 digits of its digest", first)
	}
	if _, err := Asset("../layout.html"); err == nil {
		t.Error("Asset of a file outside static = nil, want an error")
	}
	if _, err := Static().Open("bend.js"); err != nil {
		t.Errorf("Static() lacks bend.js: %v", err)
	}
}

// No page may carry script or style of its own: the strict content security
// policy would block it, and nobody would notice on the desk.
func TestNoInlineScriptOrStyle(t *testing.T) {
	files, err := pages.ReadDir("operator")
	if err != nil || len(files) == 0 {
		t.Fatalf("no operator pages: %v", err)
	}
	for _, folder := range []string{"operator", "owner"} {
		files, _ := pages.ReadDir(folder)
		for _, f := range files {
			text, err := pages.ReadFile(folder + "/" + f.Name())
			if err != nil {
				t.Fatal(err)
			}
			for _, bad := range []string{"<style", "style=", "<script>", "onclick", "onload", "javascript:", "http://", "https://"} {
				if strings.Contains(string(text), bad) {
					t.Errorf("%s/%s contains %q", folder, f.Name(), bad)
				}
			}
		}
	}
}
