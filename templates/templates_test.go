package templates

import (
	"bytes"
	"compress/gzip"
	"io"
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
}

func TestPackedFilesAreTheSame(t *testing.T) {
	entries, err := static.ReadDir("static")
	if err != nil || len(entries) == 0 {
		t.Fatal(len(entries), err)
	}
	for _, entry := range entries {
		file, err := StaticFile(entry.Name())
		if err != nil {
			t.Fatal(err)
		}
		plain, err := gzip.NewReader(bytes.NewReader(file.Packed()))
		if err != nil {
			t.Fatal(err)
		}
		if content, err := io.ReadAll(plain); err != nil || !bytes.Equal(content, file.Content) {
			t.Errorf("%s comes out of the packing with %d bytes, %v; want its own %d", file.Name, len(content), err, len(file.Content))
		}
	}
}

func TestLean(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"a.js", "// What it does.\n\"use strict\";\n\n  // why\n  const a = \"// no comment\"; // b\n\tgo(a);\n", `"use strict";const a="// no comment";go(a)`},
		{"a.css", "/* why */\nb > i {\n  color: #ffffff;\n}\n", "b>i{color:#fff}"},
		{"a.svg", "<!-- as it is -->\n", "<!-- as it is -->\n"},
	} {
		if got, err := lean(c.name, []byte(c.text)); err != nil || string(got) != c.want {
			t.Errorf("lean(%s) = %q, %v, want %q", c.name, got, err, c.want)
		}
	}
	if _, err := lean("a.js", []byte("const = ;")); err == nil {
		t.Error("a script that is none is made lean")
	}
	for name, parts := range bundles {
		for _, part := range parts {
			if text, err := static.ReadFile("static/" + part); err != nil || !bytes.Contains(text, []byte("\n\"use strict\";\n")) {
				t.Errorf("%s in %s: %v; want a script that is strict by itself, as the first makes all", part, name, err)
			}
		}
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
