package templates

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"path"
	"sync"

	"compress/gzip"

	"github.com/tdewolff/minify/v2"
	"github.com/tdewolff/minify/v2/css"
	"github.com/tdewolff/minify/v2/js"
)

//go:embed static
var static embed.FS

// File is one file that pages use.
type File struct {
	Name    string
	Content []byte
	Digest  string        // of the content
	Packed  func() []byte // the content compressed by gzip, which is done once
}

var files = sync.OnceValues(readStatic)

// bundles are scripts that a phone fetches as one, put together in this order: what
// every page of a sheet needs, and what its bend page needs besides. An error in one
// stops those behind it, so the ones that a page can do without come last.
var bundles = map[string][]string{
	"sheet.js": {"phone.js", "keep.js", "queue.js", "links.js"},
	"bending.js": {
		"told.js", "rules.js", "page.js", "reading.js", "bend.js", "who.js", "company.js", "photo.js", "fold.js",
	},
}

func readStatic() (map[string]File, error) {
	entries, err := static.ReadDir("static")
	if err != nil {
		return nil, err
	}
	all := make(map[string]File, len(entries))
	for _, entry := range entries {
		content, err := static.ReadFile("static/" + entry.Name())
		if err != nil {
			return nil, err
		}
		if content, err = lean(entry.Name(), content); err != nil {
			return nil, err
		}
		all[entry.Name()] = fileOf(entry.Name(), content)
	}
	for name, parts := range bundles {
		var whole [][]byte
		for _, part := range parts {
			whole = append(whole, all[part].Content)
		}
		all[name] = fileOf(name, bytes.Join(whole, []byte("\n;")))
	}
	return all, nil
}

// fileOf is a file of some content.
func fileOf(name string, content []byte) File {
	sum := sha256.Sum256(content)
	packed := sync.OnceValue(func() []byte { return packed(content) })
	return File{Name: name, Content: content, Digest: hex.EncodeToString(sum[:6]), Packed: packed}
}

// oldest is the version of the language of scripts that nothing newer is put in for.
const oldest = 2020

// minifier knows the kinds of file that are made lean, by their endings.
var minifier = sync.OnceValue(func() *minify.M {
	m := minify.New()
	m.Add(".js", &js.Minifier{Version: oldest})
	m.Add(".css", &css.Minifier{})
	return m
})

// lean leaves out of a script or a style what only its readers here need: comments,
// what sets lines in, and long names that only one function knows.
func lean(name string, content []byte) ([]byte, error) {
	leaner, err := minifier().Bytes(path.Ext(name), content)
	switch {
	case errors.Is(err, minify.ErrNotExist):
		return content, nil
	case err != nil:
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return leaner, nil
}

func packed(content []byte) []byte {
	var to bytes.Buffer
	out, err := gzip.NewWriterLevel(&to, gzip.BestCompression)
	if err == nil {
		_, err = out.Write(content)
	}
	if err == nil {
		err = out.Close()
	}
	if err != nil { // neither the level nor writing to memory can be wrong
		panic(err)
	}
	return to.Bytes()
}

// StaticFile gives a file that pages use by its name.
func StaticFile(name string) (File, error) {
	all, err := files()
	if err != nil {
		return File{}, fmt.Errorf("static files: %w", err)
	}
	file, ok := all[name]
	if !ok {
		return File{}, fmt.Errorf("there is no static file %q", name)
	}
	return file, nil
}

// Asset gives the address of a static file. It carries a part of the digest of
// the file, so that a browser may keep the file and still never shows an old
// one.
func Asset(name string) (string, error) {
	file, err := StaticFile(name)
	return "/static/" + name + "?v=" + file.Digest, err
}
