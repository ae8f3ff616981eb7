package shelf

import (
	"bytes"
	"encoding/json"
	"html/template"
	"net/http"
	"strconv"

	"brakeside/calc/fault"
	"brakeside/server/change"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/dxf"
)

// Decoded reads a brake file into values that keep their numbers as written.
func Decoded(file []byte) (map[string]any, error) {
	d := json.NewDecoder(bytes.NewReader(file))
	d.UseNumber()
	var root map[string]any
	if err := d.Decode(&root); err != nil {
		return nil, fault.New(fault.Invalid, "text", "This is not a brake file: %v.", err)
	}
	return root, nil
}

// Earlier finds the version that the address compares with.
func (s *Shelf) Earlier(r *http.Request, shelf store.Shelf) (store.Revision, error) {
	seq, err := strconv.ParseInt(r.URL.Query().Get("from"), 10, 64)
	if err != nil {
		return store.Revision{}, fault.New(fault.Missing, "", "Say which version to compare with.")
	}
	return s.Store.Version(r.Context(), shelf, seq)
}

// VersionWords names a kept version.
func (s *Shelf) VersionWords(v store.Revision) string {
	words := "saved " + s.When(v.Created)
	if v.Revision != "" {
		words = "rev " + v.Revision + ", " + words
	}
	return words
}

// Drawing is a part as it is drawn beside its form: or why it is not.
type Drawing struct {
	Message, Field string
	Blank          template.HTML
	Views          []template.HTML
	Facts          []web.Pair
	Used, Left     []dxf.Tally // of a drawing that was read
}

// FileKind is the kind of a form in which the file itself is typed or sent.
const FileKind = "file"

// Version finds the kept version that the address names.
func (s *Shelf) Version(r *http.Request, shelf store.Shelf) (store.Revision, error) {
	seq, err := strconv.ParseInt(web.Variable(r, "seq"), 10, 64)
	if err != nil {
		return store.Revision{}, fault.New(fault.Missing, "", "There is no such page here.")
	}
	return s.Store.Version(r.Context(), shelf, seq)
}

// VersionLine is one kept version in the list of all.
type VersionLine struct{ Address, Revision, When, State, Changes string }

// Changes is the page that shows two kept versions side by side.
type Changes struct {
	Frame                             web.Frame
	Number, Before, After, AfterTitle string
	BeforeAddress, AfterAddress       string
	Lines                             []change.Line
	Blanks                            [2]Drawing
}
