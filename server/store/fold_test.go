package store

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"brakeside/calc/fault"
	"brakeside/traveler/standing"
)

// anew is what the tally should hold, worked out from the readings alone.
func anew(tb testing.TB, s *Store) []string {
	tb.Helper()
	return lines(tb, s, `
		SELECT r.code || ' ' || r.bar || ' ' || substr(r.received, 1, 10) || ' ' || t.part || ' ' || r.brake || ' ' || r.thickness, count(*),
		  sum(r.teaches), sum(r.state <> 'reworked' AND r.in_tolerance), sum(r.teaches * r.error), sum(r.teaches * r.error * r.error),
		  sum(r.piece = 1), sum(r.piece = 1 AND (r.in_tolerance = 0 OR r.state <> 'as-bent')), sum(r.state = 'reworked'), sum(r.state = 'scrapped'),
		  sum(r.flags LIKE '%bar-lifted%'), sum(r.flags LIKE '%setback-opened%'), sum(r.flags LIKE '%corner-torn%'), sum(r.note <> '')
		FROM reading r JOIN traveler t ON t.code = r.code
		WHERE r.flags NOT LIKE '%withdrawn%' AND r.id NOT IN (SELECT corrects FROM reading WHERE corrects IS NOT NULL)
		GROUP BY 1 ORDER BY 1`)
}

// tallied is what the books hold.
func tallied(tb testing.TB, s *Store) (out []string) {
	tb.Helper()
	b, err := s.booksNow(context.Background())
	if err != nil {
		tb.Fatal(err)
	}
	for _, r := range b.rows {
		if r.readings > 0 {
			out = append(out, fmt.Sprint(fmt.Sprintf("%s %s %s %s %s %d", r.code, r.bar, r.day, r.part, r.brake, r.thickness), r.readings, r.taught, r.good, r.total, r.squares,
				r.first, r.firstBad, r.reworked, r.scrapped, r.lifted, r.opened, r.torn, r.noted))
		}
	}
	slices.Sort(out)
	return out
}

// keptTally is what the table holds.
func keptTally(tb testing.TB, s *Store) []string {
	tb.Helper()
	return lines(tb, s, `
		SELECT code || ' ' || bar || ' ' || day || ' ' || part || ' ' || brake || ' ' || thickness, readings, taught, good, total, squares,
		  first, first_bad, reworked, scrapped, lifted, opened, torn, noted
		FROM tally WHERE readings > 0 ORDER BY 1`)
}

func lines(tb testing.TB, s *Store, query string) []string {
	tb.Helper()
	rows, err := s.read.Query(query)
	if err != nil {
		tb.Fatal(err)
	}
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		tb.Fatal(err)
	}
	var out []string
	for rows.Next() {
		values, places := make([]any, len(columns)), make([]any, len(columns))
		for i := range values {
			places[i] = &values[i]
		}
		if err := rows.Scan(places...); err != nil {
			tb.Fatal(err)
		}
		out = append(out, fmt.Sprint(values...))
	}
	if err := rows.Err(); err != nil {
		tb.Fatal(err)
	}
	return out
}

// Whatever is logged, corrected and taken back, and whenever the tally is
// brought up to date or the books are opened anew, they are what the readings
// add up to.
func TestTallyIsTheReadings(t *testing.T) {
	s, clock := openMoving(t)
	sheet := 0
	rapid.Check(t, func(r *rapid.T) {
		sheet++
		traveler := plan(sheet, 30)
		issue(t, s, traveler)
		if err := s.AddEvent(context.Background(), Event{Code: traveler.Code, Kind: standing.Released, Detail: "seen"}); err != nil {
			t.Fatal(err)
		}
		var standing []string
		for i := range rapid.IntRange(1, 12).Draw(r, "readings") {
			clock.time = noon.AddDate(0, 0, rapid.IntRange(0, 3).Draw(r, "day"))
			id := fmt.Sprintf("s%d-%d", sheet, i)
			more := ""
			if len(standing) > 0 && rapid.IntRange(0, 3).Draw(r, "corrects") == 0 {
				k := rapid.IntRange(0, len(standing)-1).Draw(r, "which")
				more = fmt.Sprintf(`,"corrects":%q`, standing[k])
				standing = slices.Delete(standing, k, k+1)
				if rapid.Bool().Draw(r, "only takes back") {
					more += `,"flags":["withdrawn"]`
				}
			} else if rapid.Bool().Draw(r, "flagged") {
				more = `,"flags":["bar-lifted","corner-torn"]`
			}
			switch rapid.IntRange(0, 5).Draw(r, "meanwhile") {
			case 0:
				startAgain(t, s)
			case 1:
				tallied(t, s)
			}
			state := rapid.SampledFrom([]string{"as-bent", "as-bent", "reworked", "scrapped"}).Draw(r, "state")
			note := rapid.SampledFrom([]string{"", "it went up"}).Draw(r, "note")
			if state == "scrapped" {
				note = "torn"
			}
			text := fmt.Sprintf(`{"id":%q,"piece":%d,"step":%d,"measured":%g,"state":%q,"confirmed":true,"note":%q%s}`, id,
				rapid.IntRange(1, 3).Draw(r, "piece"), rapid.IntRange(1, 2).Draw(r, "step"), rapid.Float64Range(40, 95).Draw(r, "measured"), state, note, more)
			if _, err := post(s, traveler.Code, text); err == nil {
				standing = append(standing, id)
			} else if fault.KindOf(err) == fault.Internal {
				t.Fatal(err)
			}
		}
		if diff := cmp.Diff(anew(t, s), tallied(t, s)); diff != "" {
			r.Fatalf("the books are not what the readings add up to (- readings, + books):\n%s", diff)
		}
		startAgain(t, s)
		if diff := cmp.Diff(anew(t, s), keptTally(t, s)); diff != "" {
			r.Fatalf("the tally is not what the readings add up to (- readings, + tally):\n%s", diff)
		}
	})
	if len(tallied(t, s)) < 50 {
		t.Errorf("%d rows of tally: the property was hardly tried", len(tallied(t, s)))
	}
}

// startAgain does with the tally and the books what another start would do.
func startAgain(t *testing.T, s *Store) {
	t.Helper()
	if err := s.bringTallyUpToDate(); err != nil {
		t.Fatal(err)
	}
	s.books.newest = nil
}

// On a full disk the tally stays as it was, the service starts all the same, and
// reviews are right.
func TestTallyOnAFullDisk(t *testing.T) {
	s := openStore(t, t.TempDir())
	for n := range 150 {
		issue(t, s, plan(n, 2))
		mustPost(t, s, code(n), body(fmt.Sprint("r", n), 1, 1, 90))
	}
	exec(t, s, `PRAGMA max_page_count = 1`) // as small as what is there: it cannot grow
	startAgain(t, s)
	if kept := keptTally(t, s); len(kept) != 0 {
		t.Fatalf("%d rows of tally were kept on a full disk: this tests nothing", len(kept))
	}
	if diff := cmp.Diff(anew(t, s), tallied(t, s)); diff != "" {
		t.Errorf("the books on a full disk (- readings, + books):\n%s", diff)
	}
	exec(t, s, `PRAGMA max_page_count = 1000000`)
	startAgain(t, s)
	if diff := cmp.Diff(anew(t, s), keptTally(t, s)); diff != "" || len(keptTally(t, s)) != 150 {
		t.Errorf("the tally once there is room (- readings, + tally):\n%s", diff)
	}
}
