package parts_test

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"brakeside/server/entry"
	"brakeside/server/internal/shoptest"
)

// formChange is a form in which one field is not as it was.
type formChange struct {
	field, value string
	form         url.Values
}

// formChanges gives every change that the form of a kind offers: each figure and
// word made another one and emptied, each list set to each of its entries.
func formChanges(s *shoptest.Shop, kind string, session *http.Cookie) []formChange {
	s.Helper()
	_, body := s.Get("/parts/new?kind="+kind, session)
	page := shoptest.One(s, shoptest.Parsed(s, body), func(n *html.Node) bool { return shoptest.Has(n, "data-live") })
	form := shoptest.SentBack(page)
	var out []formChange
	change := func(field, value string) {
		if value != form.Get(field) {
			changed := maps.Clone(form)
			changed[field] = []string{value}
			out = append(out, formChange{field, value, changed})
		}
	}
	for _, n := range shoptest.All(page, shoptest.Named("input")) {
		if kind := shoptest.Attribute(n, "type"); kind != "hidden" && kind != "file" {
			change(shoptest.Attribute(n, "name"), otherThan(shoptest.Attribute(n, "value")))
			change(shoptest.Attribute(n, "name"), "")
		}
	}
	for _, n := range shoptest.All(page, shoptest.Named("select")) {
		for _, o := range shoptest.All(n, shoptest.Named("option")) {
			change(shoptest.Attribute(n, "name"), shoptest.Attribute(o, "value"))
		}
	}
	return out
}

// otherThan is another figure of the same size, or another word.
func otherThan(value string) string {
	figure, err := strconv.ParseFloat(value, 64)
	if err != nil {
		return value + "2"
	}
	return strconv.FormatFloat(figure*1.05, 'f', 1, 64)
}

// Every change of an example part, drawn anew. Run it with -benchtime 200x or
// more, so that every change has its turn.
func BenchmarkLiveDrawing(b *testing.B) {
	s, owner := shoptest.OpenOffice(b)
	for _, kind := range entry.Kinds {
		changes := formChanges(s, kind.ID, owner)
		b.Run(kind.ID, func(b *testing.B) {
			var took []time.Duration
			for b.Loop() {
				at := changes[len(took)%len(changes)]
				began := time.Now()
				w := s.Draws(at.form, owner)
				took = append(took, time.Since(began))
				if w.Code != http.StatusOK {
					b.Fatalf("%s = %q: %d %s", at.field, at.value, w.Code, w.Body)
				}
			}
			slices.Sort(took)
			b.ReportMetric(took[len(took)/2].Seconds()*1e3, "p50-ms")
			b.ReportMetric(took[len(took)-1].Seconds()*1e3, "worst-ms")
		})
	}
}

// Every change of an example part is drawn, or the field that is wrong is named,
// without a failure of the service. Under the race detector, where that would take
// minutes, some of the changes stand for all.
func TestEveryChangeIsDrawn(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	for _, kind := range entry.Kinds {
		drawn := 0
		changes := formChanges(s, kind.ID, owner)
		tried := 0
		for i := 0; i < len(changes); i += shoptest.WatchedSlower {
			c := changes[i]
			tried++
			w := s.Draws(c.form, owner)
			pictures, named := strings.Count(w.Body.String(), "<svg"), strings.Contains(w.Body.String(), "data-fault=")
			if w.Code != http.StatusOK || (pictures == 0) == !named {
				t.Errorf("%s, %s = %q: %d with %d pictures, a fault named: %v", kind.Words, c.field, c.value, w.Code, pictures, named)
			}
			drawn += min(pictures, 1)
		}
		if 2*drawn < tried {
			t.Errorf("%s: only %d of %d changes are drawn", kind.Words, drawn, tried)
		}
	}
}
