package parts

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"brakeside/calc/part"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
)

type partsView struct {
	Frame    web.Frame
	Search   string
	Sort     web.Field
	Archived bool
	Heads    []shelf.Head
	Parts    []partLine
	Shown    int
	All      int
}

type partLine struct {
	Address, Number, Revision, Title, Shape, Sheet, State, When string
	seq                                                         int64
}

// partColumn is a column by which the list can be sorted.
type partColumn struct {
	name, words string
	before      func(a, b partLine) int
}

// partColumns are all of them, in the order shown.
var partColumns = []partColumn{
	{"number", "Number", func(a, b partLine) int { return shelf.CompareNumbers(a.Number, b.Number) }},
	{"title", "Part", func(a, b partLine) int { return shelf.LastCompare(a.Title, b.Title) }},
	{"revision", "Revision", func(a, b partLine) int { return shelf.CompareNumbers(a.Revision, b.Revision) }},
	{"state", "State", func(a, b partLine) int { return cmp.Compare(a.State, b.State) }},
	{"shape", "Shape", func(a, b partLine) int { return shelf.CompareNumbers(a.Shape, b.Shape) }},
	{"sheet", "Sheet", func(a, b partLine) int { return cmp.Compare(a.Sheet, b.Sheet) }},
	{"kept", "Saved", func(a, b partLine) int { return cmp.Compare(a.seq, b.seq) }},
}

// PartsPage lists the parts of the shop, each as last kept.
func (s *Section) PartsPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Store.Newest(r.Context(), store.Parts)
	if err != nil {
		return err
	}
	st, err := s.Standings(r.Context())
	if err != nil {
		return err
	}
	query := r.URL.Query()
	view := partsView{Frame: s.Frame(r, "parts"), Search: strings.TrimSpace(query.Get("q")), Archived: query.Has("archived")}
	rule := s.Ruler(r.Context())
	for _, p := range kept {
		if st.Archived[p.Name] != view.Archived {
			continue
		}
		view.All++
		line := s.partLine(p, st, rule)
		if shelf.Found(view.Search, line.Number, line.Title, line.Revision, line.State, line.Shape, line.Sheet) {
			view.Parts = append(view.Parts, line)
		}
	}
	view.Shown = len(view.Parts)
	view.sort(query)
	return s.Show(w, web.Page{Name: "owner/parts", View: view})
}

// sort puts the parts into the order asked for, and says how they are sorted.
func (v *partsView) sort(query url.Values) {
	by, down := strings.CutPrefix(query.Get("sort"), "-")
	at := max(0, slices.IndexFunc(partColumns, func(c partColumn) bool { return c.name == by }))
	slices.SortStableFunc(v.Parts, func(a, b partLine) int {
		if down {
			a, b = b, a
		}
		return partColumns[at].before(a, b)
	})
	var sorts []string
	for i, c := range partColumns {
		sorts = append(sorts, c.name, c.words, "-"+c.name, c.words+", last first")
		h := shelf.Head{Words: c.words}
		order := c.name
		if i == at {
			h.Sorted = shelf.Direction(down)
			if !down {
				order = "-" + order
			}
		}
		asked := url.Values{"sort": {order}}
		for _, name := range []string{"q", "archived"} {
			if query.Get(name) != "" {
				asked.Set(name, query.Get(name))
			}
		}
		h.Address = "/parts?" + asked.Encode()
		v.Heads = append(v.Heads, h)
	}
	v.Sort = web.Field{Name: "sort", Label: "Sorted by", Choices: web.Choices(query.Get("sort"), sorts...)}
}

func (s *Section) partLine(p store.Revision, st shelf.Standings, rule say.Ruler) partLine {
	line := partLine{
		Address: partAddress(p.Seq), Number: p.Name, Revision: p.Revision, Title: p.Title,
		State: st.Of(p.Name, p.Revision), When: s.When(p.Created), Shape: "not readable", seq: p.Seq,
	}
	if drawn, err := part.Read(p.JSON); err == nil {
		line.Shape = shapeWords(drawn)
		line.Sheet = drawn.Material + ", gauge " + drawn.Gauge
		if drawn.Gauge == "" {
			line.Sheet = drawn.Material + ", " + rule.Sheet(drawn.Thickness)
		}
	}
	return line
}

// shapeWords names the shape of a part.
func shapeWords(p part.Part) string {
	switch p.Form() {
	case part.ProfileForm:
		return "profile, " + say.Counted(len(p.Profile.Bends), "bend")
	case part.TrayForm:
		n := 0
		for _, chain := range p.Tray.Walls {
			n += len(chain)
		}
		return "tray, " + say.Counted(n, "bend")
	}
	return "blank, " + say.Counted(len(p.Flat.Bends), "bend")
}
