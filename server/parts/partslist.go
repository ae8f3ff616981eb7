package parts

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/server/entry"
	"brakeside/server/store"
	"brakeside/server/table"
	"brakeside/server/web"
)

// partHeader is what columns a list of parts has. A list brings profiles: their legs
// and bends are figures between blanks, such as 34 52 and 90; the rest of what a list
// that was sent out has may stand there and is not read.
var partHeader = table.Header{
	Needed:   []string{"number", "material", "length", "legs", "bends"},
	Optional: []string{"title", "revision", "thickness", "gauge", "inside_radius", "sizes", "units", "state", "shape"},
}

// mostImported is how many parts a list may bring at once.
const mostImported = 500

// PartsCSV sends the parts in use as a list: of profiles, what makes them again.
func (s *Section) PartsCSV(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Store.Newest(r.Context(), store.Parts)
	if err != nil {
		return err
	}
	st, err := s.Standings(r.Context())
	if err != nil {
		return err
	}
	names := []string{
		"number", "title", "revision", "state", "shape", "units", "material", "thickness", "gauge", "inside_radius", "sizes",
		"length", "legs", "bends",
	}
	figures := map[string]bool{"thickness": true, "inside_radius": true, "length": true}
	var columns []table.Column
	for _, name := range names {
		columns = append(columns, table.Column{Name: name, Figure: figures[name]})
	}
	var rows [][]string
	for _, p := range kept {
		if !st.Archived[p.Name] {
			rows = append(rows, partRow(p, st.Of(p.Name, p.Revision)))
		}
	}
	return s.SendList(w, r, "parts-"+s.Now().Format(time.DateOnly), columns, rows)
}

// partRow is the row of a part; what its form does not hold is left empty.
func partRow(p store.Revision, state string) []string {
	shape := "not readable"
	if drawn, err := part.Read(p.JSON); err == nil {
		shape = shapeWords(drawn)
	}
	form, whole := entry.Form(p.JSON)
	get := func(name string) string { return form.Get(name) }
	length, legs, bends := "", "", ""
	if n := entry.Legs(form); whole && n > 0 && form.Get("kind") != entry.JogKind {
		length = get("profile.length")
		legs, bends = figuresOf(form, "profile.legs", n), figuresOf(form, "profile.bends", n-1)
	}
	return []string{
		table.Harmless(p.Name), table.Harmless(p.Title), table.Harmless(p.Revision), state, shape, get("units"), get("material"),
		get("thickness"), get("gauge"), get("inside_radius"), get("sizes"), length, legs, table.Harmless(bends),
	}
}

// figuresOf are the figures of a list of fields, between blanks; what is folded down
// has a minus.
func figuresOf(form url.Values, name string, n int) string {
	var out []string
	for i := range n {
		field := name + "[" + strconv.Itoa(i) + "]"
		text := form.Get(field)
		if form.Get(field+".way") == "down" {
			text = "-" + text
		}
		out = append(out, text)
	}
	return strings.Join(out, " ")
}

type importView struct {
	Frame                          web.Frame
	Heading, Columns, Action, Back string
	Groups                         []web.Group
	Trouble                        string
}

// PartsImportPage asks for a list of parts.
func (s *Section) PartsImportPage(w http.ResponseWriter, r *http.Request) error {
	return s.showImport(w, r, web.Filled{})
}

func (s *Section) showImport(w http.ResponseWriter, r *http.Request, f web.Filled) error {
	view := importView{
		Frame: s.Frame(r, "parts"), Heading: "Profiles from a list", Action: "/parts/import", Back: "/parts",
		Columns: "number, material, length, legs (34 52), bends (90, minus is down); and where wanted title, revision, " +
			"thickness or gauge, inside_radius, sizes (outside or inside), units (mm or in)",
		Groups: []web.Group{{Fields: []web.Field{{Name: table.Field, Label: "or paste the list", Lines: 12}}}},
	}
	view.Trouble = web.FillIn(view.Groups, f.Values, f.Fail)
	return s.Show(w, web.Page{Status: web.FormStatus(f.Fail), Name: "owner/import", View: view})
}

// ImportParts keeps a draft for every row of a list, or for none.
func (s *Section) ImportParts(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	if err := web.TakeUpload(r, form); err != nil {
		return err
	}
	drafts, err := s.draftsOf(r, form.Get(table.Field))
	if web.IsRefusal(err) {
		return s.showImport(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	for _, d := range drafts {
		if _, err := s.Store.Keep(r.Context(), store.Parts, d); err != nil {
			return err
		}
	}
	return web.GoOn(w, r, "/parts", web.SaidParts)
}

// draftsOf reads the drafts of a list, and tells of all rows what is wrong.
func (s *Section) draftsOf(r *http.Request, text string) ([]store.Revision, error) {
	rows, err := table.Read(text, partHeader)
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 || len(rows) > mostImported {
		return nil, fault.New(fault.Invalid, table.Field, "The list has %d parts; give 1 to %d at once.", len(rows), mostImported)
	}
	st, err := s.Standings(r.Context())
	if err != nil {
		return nil, err
	}
	var drafts []store.Revision
	var words []string
	seen := map[string]bool{}
	for _, row := range rows {
		form := formOf(row)
		file, err := entry.File(form)
		var drawn part.Part
		if err == nil {
			if drawn, err = part.Read(file); err == nil {
				err = s.mayKeep(r, form, file, drawn, st)
			}
		}
		if err == nil && seen[drawn.Number+" "+drawn.Revision] {
			err = fault.New(fault.Conflict, "number", "Part %s revision %s is there twice.", drawn.Number, drawn.Revision)
		}
		seen[drawn.Number+" "+drawn.Revision] = true
		if err != nil && !web.IsRefusal(err) {
			return nil, err
		}
		for _, refusal := range fault.Each(err) {
			if len(words) < mostTold {
				words = append(words, fault.Each(row.Refuse(columnOf(refusal.Field), "%s", refusal.Message))[0].Message)
			}
		}
		drafts = append(drafts, store.Revision{Name: drawn.Number, Revision: drawn.Revision, Title: drawn.Title, JSON: file})
	}
	if words != nil {
		return nil, fault.New(fault.Invalid, table.Field, "%s", strings.Join(words, " "))
	}
	return drafts, nil
}

// mostTold is how many faults of a list are told at once.
const mostTold = 20

// formOf is what the form of a profile would have typed in it.
func formOf(row table.Row) url.Values {
	form := url.Values{"kind": {"profile"}}
	for _, name := range []string{"number", "title", "revision", "units", "material", "gauge", "sizes"} {
		form.Set(name, row.Get(name))
	}
	if form.Get("revision") == "" {
		form.Set("revision", "A")
	}
	point := func(text string) string { return strings.ReplaceAll(text, ",", ".") } // as spreadsheets write decimals
	form.Set("thickness", point(row.Get("thickness")))
	form.Set("inside_radius", point(row.Get("inside_radius")))
	form.Set("profile.length", point(row.Get("length")))
	for i, leg := range strings.Fields(point(row.Get("legs"))) {
		form.Set("profile.legs["+strconv.Itoa(i)+"]", leg)
	}
	for i, angle := range strings.Fields(point(row.Get("bends"))) {
		name := "profile.bends[" + strconv.Itoa(i) + "]"
		if down, is := strings.CutPrefix(angle, "-"); is {
			angle = down
			form.Set(name+".way", "down")
		}
		form.Set(name, angle)
	}
	return form
}

// columnOf is the column of a list that a field of the form stands in.
func columnOf(field string) string {
	for prefix, column := range map[string]string{"profile.legs": "legs", "profile.bends": "bends", "profile.length": "length"} {
		if strings.HasPrefix(field, prefix) {
			return column
		}
	}
	return field
}
