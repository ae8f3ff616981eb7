package review_test

import (
	"context"
	"encoding/csv"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/server/report"
	"brakeside/server/review"
	"brakeside/server/table"
	"brakeside/traveler/standing"
)

// reviewed is a shop with readings of two materials and three bars.
func reviewed(t testing.TB) (*shoptest.Shop, *http.Cookie) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	s.Decide(shoptest.ChannelCode, standing.Requantified, "9")
	for i, angle := range []float64{90.4, 90.6, 90.8, 91.2, 90.5, 90.9} {
		s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"w%d","piece":%d,"step":2,"measured":%.1f}`, i, i+2, angle))
	}
	s.Record(shoptest.ChannelCode, `{"id":"flag","piece":8,"step":2,"measured":95,"flags":["bar-lifted"],"confirmed":true}`)
	s.Record(shoptest.ChannelCode, `{"id":"rework","piece":2,"step":2,"measured":96,"state":"reworked","confirmed":true}`)
	s.Later(40 * 24 * time.Hour)
	s.Record(shoptest.TrayCode, `{"id":"t1","piece":1,"step":1,"measured":88.6}`)
	s.Record(shoptest.TrayCode, `{"id":"t2","piece":1,"step":2,"measured":88.2}`)
	return s, s.Owner()
}

func TestReviewPage(t *testing.T) {
	s, session := reviewed(t)
	root, page := s.OwnerPage(session, "/review")
	groups := shoptest.All(root, shoptest.Named("table"))[0]
	// wide, mild steel: 45.2-45, 89.4-90 and six readings: errors 0.2 -0.6 0.4 0.6 0.8 1.2 0.5 0.9,
	// mean 4.0/8 = 0.5, sum of squares 4.06, spread sqrt((4.06 - 8*0.25)/7) = 0.54.
	if got := strings.Join(shoptest.Row(t, groups, "304"), "|"); got != "304|1.00 mm (0.0394 in)|wide|leaf brake 1.2 m|2|-1.60°|-0.18°|0.28°|0 of 2|too few to judge" {
		t.Errorf("the stainless group is %q", got)
	}
	rows := shoptest.All(groups, shoptest.Named("tr"))[1:]
	if len(rows) != 3 || shoptest.WordsIn(rows[2]) != "mild-steel 1.50 mm (0.0591 in) wide leaf brake 1.2 m 8 +0.50° -0.14° 0.54° 7 of 9 too few to judge" {
		t.Errorf("the groups are %q", shoptest.WordsIn(groups))
	}
	facts := shoptest.WordsIn(shoptest.One(t, root, shoptest.Classed("facts")))
	for _, want := range []string{"First pieces passed 1 of 2", "Bends in tolerance 8 of 12 (67 %)", "Readings 13", "Sheets 2", "Reworked 1", "Scrapped 0", "Bar lifted 1"} {
		if !strings.Contains(facts, want) {
			t.Errorf("the facts lack %q: %s", want, facts)
		}
	}
	for _, want := range []string{"The last 11 readings", "n = 11.", "fewer than 11 readings", "First pieces failed: not said 1.", "bar lifted"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q: %s", want, shoptest.WordsIn(root))
		}
	}
	drawings := shoptest.All(root, shoptest.Classed("drawing"))
	if len(drawings) != 5 {
		t.Fatalf("%d charts, want three groups, the weeks and the readings", len(drawings))
	}
	for _, svg := range drawings {
		if shoptest.Attribute(svg, "role") != "img" || shoptest.WordsIn(shoptest.One(t, svg, shoptest.Named("desc"))) == "" || shoptest.WordsIn(shoptest.One(t, svg, shoptest.Named("title"))) == "" {
			t.Errorf("a chart has no title or description: %s", shoptest.WordsIn(svg))
		}
	}
	if n := len(shoptest.All(drawings[4], shoptest.Named("circle"))); n != 8 {
		t.Errorf("the chart has %d rings, want 8 of the 11 readings in tolerance", n)
	}
}

func TestReviewFilters(t *testing.T) {
	s, session := reviewed(t)
	cases := []struct {
		query string
		want  int // readings shown
	}{
		{"", 11}, {"material=304", 2}, {"material=mild-steel", 9}, {"bar=narrow", 1}, {"bar=wide", 10}, {"thickness=1.00+mm", 2},
		{"days=30", 2}, {"days=90", 11}, {"material=304&bar=narrow", 0}, {"brake=leaf+brake+1.2+m", 11},
		{"material=gold", 11}, {"days=x", 11}, {"days=-5", 11}, {"thickness=1", 11},
		{"part=DT-05", 2}, {"job=J-1041", 9}, {"job=none", 0}, {"from=2026-06-01", 2}, {"to=2026-06-01", 9}, {"from=2026-05-04&to=2026-05-04", 9}, {"from=soon", 11},
	}
	for _, c := range cases {
		_, page := s.OwnerPage(session, "/review?"+c.query)
		if c.want == 0 {
			if !strings.Contains(page, "No readings yet for this choice.") {
				t.Errorf("%s: the page says %s", c.query, page)
			}
			continue
		}
		if want := fmt.Sprintf("The last %d readings", c.want); !strings.Contains(page, want) {
			t.Errorf("%s: the page lacks %q: %s", c.query, want, page)
		}
	}
	root, _ := s.OwnerPage(session, "/review?material=304&days=30")
	chosen := shoptest.All(root, func(n *html.Node) bool { return n.Data == "option" && shoptest.Has(n, "selected") })
	if len(chosen) != 2 || shoptest.WordsIn(chosen[0]) != "304" || shoptest.WordsIn(chosen[1]) != "30 days" {
		t.Errorf("%d options are shown as chosen, want 304 and 30 days", len(chosen))
	}
}

// What a group's figures ask for: of the stop nothing but what is proposed. The
// errors are about a mean, every other one above it and below it.
func TestReading(t *testing.T) {
	about := func(n int, mean, apart float64, more ...float64) []float64 {
		out := more
		for i := range n - len(more) {
			out = append(out, mean+apart*float64(1-2*(i%2)))
		}
		return out
	}
	cases := []struct {
		name     string
		errors   []float64
		proposed unit.Deg
		moved    bool
		want     string
	}{
		{"ten", about(10, 3, 0.1), 1, false, "too few to judge"},
		{"later", about(12, -0.8, 0.1), 0.8, false, "stop the leaf 0.8° later: proposed"},
		{"sooner", about(12, 0.8, 0.1), -0.8, false, "stop the leaf 0.8° sooner: proposed"},
		{"off, and nothing is proposed", about(12, 0.3, 0.1), 0, false, "off at today's stop, not surely enough to move it: log more"},
		{"just not off", about(12, 0.29, 0.1), 0, false, "good"},
		{"off, but not surely", about(12, 0.3, 0.6), 0, false, "good"},
		{"wide", about(20, 0, 0.5, 1.2, -1.2, 1.3), 0, false, "spreads too wide: look at clamping, nose setback and sheet"},
		{"nine of ten", about(20, 0, 0.5, 1.2, -1.2), 0, false, "good"},
		{"the scale has moved", about(12, 0.8, 0.1), -0.8, true, "its scale has moved: set the zero"},
	}
	for _, c := range cases {
		if got := review.Reading(c.errors, c.proposed, c.moved); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestReviewCSV(t *testing.T) {
	s, session := reviewed(t)
	s.Record(shoptest.TrayCode, `{"id":"t3","piece":1,"step":3,"measured":90.05,"given_as":"opening","place":"left","by":"=HYPERLINK(\"x\")","note":"two, \"quoted\"","pack":"-1","tool":"@x","leg":40.1,"nose_setback":[1.3,null],"stop":92.5,"at":"2026-06-13T09:29:00Z"}`)
	s.Record(shoptest.TrayCode, `{"id":"t4","piece":1,"step":1,"measured":88.9,"corrects":"t1"}`)
	answer, body := s.Get("/review.csv", session)
	if answer.StatusCode != http.StatusOK || !strings.HasPrefix(answer.Header.Get("Content-Type"), "text/csv") ||
		answer.Header.Get("Content-Disposition") != `attachment; filename="readings-2026-06-13.csv"` {
		t.Errorf("GET = %d %v", answer.StatusCode, answer.Header)
	}
	if lines := strings.Count(body, "\n"); lines != strings.Count(body, "\r\n") || lines != 16 {
		t.Errorf("%d line ends, %d of them CR LF; want 16, all", lines, strings.Count(body, "\r\n"))
	}
	records, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	value := func(line int, name string) string {
		for i, column := range records[0] {
			if column == name {
				return records[line][i]
			}
		}
		t.Fatalf("there is no column %s", name)
		return ""
	}
	for name, want := range map[string]string{
		"number": "14", "received": "2026-06-13T09:30:00Z", "measured_at": "2026-06-13T09:29:00Z", "job": "J-1042", "part": "DT-05", "revision": "A",
		"material": "304", "thickness_mm": "1.000", "brake": "leaf brake 1.2 m", "bar": "fingers", "piece": "1", "step": "3",
		"target_deg": "90.00", "tolerance_deg": "1.00", "bend_deg": "89.95", "error_deg": "-0.05", "in_tolerance": "yes", "counts": "yes",
		"stop_bend_deg": "92.50", "measured_deg": "90.05", "given_as": "opening", "place": "left", "state": "as-bent", "flags": "out-of-order",
		"by": `'=HYPERLINK("x")`, "note": `two, "quoted"`, "leg_mm": "40.100", "sheet_mm": "", "nose_setback_left_mm": "1.300", "nose_setback_right_mm": "",
		"pack": "'-1", "tool": "'@x", "id": "t3", "corrects": "", "corrected": "no",
	} {
		if got := value(14, name); got != want {
			t.Errorf("%s = %q, want %q", name, got, want)
		}
	}
	if value(12, "id") != "t1" || value(12, "corrected") != "yes" || value(12, "counts") != "no" || value(15, "corrects") != "t1" {
		t.Error("a corrected reading must say so and not count; its correction must name it")
	}
	if value(10, "flags") != "bar-lifted out-of-order" || value(10, "counts") != "no" || value(11, "state") != "reworked" || value(11, "counts") != "no" {
		t.Error("flagged and reworked readings must not count")
	}
}

// failing is a writer that takes only so many bytes.
type failing struct{ left int }

func (f *failing) Write(p []byte) (int, error) {
	if f.left -= len(p); f.left < 0 {
		return 0, fmt.Errorf("no room")
	}
	return len(p), nil
}

func TestWriteCSVReportsAFullDisk(t *testing.T) {
	s, _ := reviewed(t)
	if err := report.WriteCSV(context.Background(), &failing{left: 300}, table.Plain, s.Store); err == nil {
		t.Error("WriteCSV to a full disk = nil, want an error")
	}
}
