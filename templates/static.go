package templates

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"path"
	"sync"

	"compress/gzip"
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

func readStatic() (map[string]File, error) {
	entries, err := static.ReadDir("static")
	if err != nil {
		return nil, err
	}
	all := make(map[string]File, len(entries))
	for _, entry := range entries {
		name := entry.Name()
		content, err := static.ReadFile("static/" + name)
		if err != nil {
			return nil, err
		}
		content = lean(name, content)
		sum := sha256.Sum256(content)
		packed := sync.OnceValue(func() []byte { return packed(content) })
		all[name] = File{Name: name, Content: content, Digest: hex.EncodeToString(sum[:6]), Packed: packed}
	}
	return all, nil
}

// lean leaves out of a script or a style what only its readers here need: lines
// that are comments, empty lines, and what sets a line in. No text in our scripts
// goes over several lines.
func lean(name string, content []byte) []byte {
	kind := path.Ext(name)
	if kind != ".js" && kind != ".css" {
		return content
	}
	var kept []byte
	for line := range bytes.Lines(content) {
		line = bytes.TrimSpace(line)
		if len(line) > 0 && !(kind == ".js" && bytes.HasPrefix(line, []byte("//"))) {
			kept = append(append(kept, line...), '\n')
		}
	}
	return kept
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
