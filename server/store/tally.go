package store

import (
	"cmp"
	"context"
	"database/sql"
	"slices"
	"strings"
	"time"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Choice narrows a review; empty fields mean any. Days are YYYY-MM-DD, both
// ends within.
type Choice struct {
	From, To  string
	Material  string
	Thickness unit.Micron
	Bar       string
	Brake     string
	Part      string
	Job       string
}

// holds reports whether a row of the tally is chosen.
func (c Choice) holds(r *tallyRow) bool {
	return r.day >= c.From && (c.To == "" || r.day <= c.To) &&
		(c.Material == "" || c.Material == r.material) && (c.Thickness == 0 || c.Thickness == r.thickness) &&
		(c.Bar == "" || c.Bar == r.bar) && (c.Brake == "" || c.Brake == r.brake) &&
		(c.Part == "" || c.Part == r.part) && (c.Job == "" || c.Job == r.job)
}

// chosen gives the rows of a choice.
func (b *books) chosen(c Choice) func(yield func(*tallyRow) bool) {
	if c != (Choice{}) {
		return slices.Values(b.narrowed.of(c, b.rows))
	}
	return func(yield func(*tallyRow) bool) {
		for i := range b.rows {
			if !yield(&b.rows[i]) {
				return
			}
		}
	}
}

// Totals is what all chosen readings add up to. Only readings that stand count.
type Totals struct {
	Readings, Reworked, Scrapped, Lifted, Opened, Torn, Noted int
	Sheets                                                    int // with at least one reading
	Made, InTolerance                                         int // bends as made, before rework; of these
}

// Totals adds up.
func (s *Store) Totals(ctx context.Context, c Choice) (Totals, error) {
	b, err := s.booksNow(ctx)
	if err != nil {
		return Totals{}, err
	}
	var t Totals
	sheets := map[string]bool{}
	for r := range b.chosen(c) {
		t.Readings, t.Reworked, t.Scrapped = t.Readings+r.readings, t.Reworked+r.reworked, t.Scrapped+r.scrapped
		t.Made, t.InTolerance = t.Made+r.made(), t.InTolerance+r.good
		t.Lifted, t.Opened, t.Torn, t.Noted = t.Lifted+r.lifted, t.Opened+r.opened, t.Torn+r.torn, t.Noted+r.noted
		if r.readings > 0 {
			sheets[r.code] = true
		}
	}
	t.Sheets = len(sheets)
	return t, nil
}

// sums is what some readings add up to: bends as made, of these in tolerance, and
// the errors of those that teach in hundredths of a degree.
type sums struct {
	made, good, n  int
	total, squares int64
}

func (s *sums) add(r *tallyRow) {
	s.made, s.good = s.made+r.made(), s.good+r.good
	s.n, s.total, s.squares = s.n+r.taught, s.total+r.total, s.squares+r.squares
}

// Cells adds up the readings that teach, one cell for each material, thickness,
// bar and brake, in that order. A corrected reading does not count, its
// correction does.
func (s *Store) Cells(ctx context.Context, c Choice) ([]Cell, error) {
	b, err := s.booksNow(ctx)
	if err != nil {
		return nil, err
	}
	type key struct {
		material   string
		thickness  unit.Micron
		bar, brake string
	}
	groups := map[key]*sums{}
	for r := range b.chosen(c) {
		k := key{r.material, r.thickness, r.bar, r.brake}
		if groups[k] == nil {
			groups[k] = &sums{}
		}
		groups[k].add(r)
	}
	var out []Cell
	for k, g := range groups {
		if g.n > 0 {
			cell := Cell{Material: k.material, Thickness: k.thickness, Bar: k.bar, Brake: k.brake, N: g.n, Made: g.made, InTolerance: g.good}
			cell.Mean, cell.Spread = meanAndSpread(g.n, g.total, g.squares)
			out = append(out, cell)
		}
	}
	slices.SortFunc(out, func(a, b Cell) int {
		return cmp.Or(
			cmp.Compare(a.Material, b.Material), cmp.Compare(a.Thickness, b.Thickness),
			cmp.Compare(a.Bar, b.Bar), cmp.Compare(a.Brake, b.Brake))
	})
	return out, nil
}

// Span is the accuracy of a stretch of days.
type Span struct {
	Begins       string // day, YYYY-MM-DD
	N            int
	Mean, Spread unit.Deg // error
}

// Weeks adds up the readings that teach week by week, oldest first; a week
// begins on Monday. Weeks without readings are left out.
func (s *Store) Weeks(ctx context.Context, c Choice) ([]Span, error) {
	b, err := s.booksNow(ctx)
	if err != nil {
		return nil, err
	}
	days := map[string]*sums{}
	for r := range b.chosen(c) {
		if days[r.day] == nil {
			days[r.day] = &sums{}
		}
		days[r.day].add(r)
	}
	weeks := map[string]*sums{}
	for day, g := range days {
		monday := mondayOf(day)
		if weeks[monday] == nil {
			weeks[monday] = &sums{}
		}
		w := weeks[monday]
		w.n, w.total, w.squares = w.n+g.n, w.total+g.total, w.squares+g.squares
	}
	var out []Span
	for monday, w := range weeks {
		if w.n > 0 {
			x := Span{Begins: monday, N: w.n}
			x.Mean, x.Spread = meanAndSpread(w.n, w.total, w.squares)
			out = append(out, x)
		}
	}
	slices.SortFunc(out, func(a, b Span) int { return cmp.Compare(a.Begins, b.Begins) })
	return out, nil
}

// mondayOf gives the Monday on or before a day; a day that is none is its own.
func mondayOf(day string) string {
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return day
	}
	return at.AddDate(0, 0, -(int(at.Weekday())+6)%7).Format(time.DateOnly)
}

// FirstPiece is how the first piece of a sheet came out.
type FirstPiece struct {
	Code, Job, Part, Brake, Day string // Day of its first reading
	Passed                      bool   // all its bends in tolerance at the first go
	Cause                       string // as the owner sees it; empty when not said
}

// FirstPieces lists the first pieces of which every bend is logged, or one bend
// failed already, newest first.
func (s *Store) FirstPieces(ctx context.Context, c Choice) ([]FirstPiece, error) {
	b, err := s.booksNow(ctx)
	if err != nil {
		return nil, err
	}
	causes, err := s.causes(ctx)
	if err != nil {
		return nil, err
	}
	type first struct {
		FirstPiece
		logged, bad int
	}
	sheets := map[string]*first{}
	for r := range b.chosen(c) {
		if r.first == 0 {
			continue
		}
		f := sheets[r.code]
		if f == nil {
			f = &first{FirstPiece: FirstPiece{Code: r.code, Job: r.job, Part: r.part, Brake: r.brake, Day: r.day, Cause: causes[r.code]}}
			sheets[r.code] = f
		}
		f.Day, f.logged, f.bad = min(f.Day, r.day), f.logged+r.first, f.bad+r.firstBad
	}
	var told []*first
	for code, f := range sheets {
		if f.bad > 0 || f.logged >= b.sheets[code].steps {
			f.Passed = f.bad == 0
			told = append(told, f)
		}
	}
	slices.SortFunc(told, func(a, b *first) int {
		if a.Day != b.Day {
			return strings.Compare(b.Day, a.Day)
		}
		return strings.Compare(a.Code, b.Code)
	})
	out := make([]FirstPiece, len(told))
	for i, f := range told {
		out[i] = f.FirstPiece
	}
	return out, nil
}

// causes gives what was last said of each failed first piece.
func (s *Store) causes(ctx context.Context) (map[string]string, error) {
	out := map[string]string{}
	rows, err := s.read.QueryContext(ctx, `SELECT code, cause FROM first_piece_cause ORDER BY seq`)
	err = each(rows, err, func(rows *sql.Rows) error {
		var code, cause string
		err := rows.Scan(&code, &cause)
		out[code] = cause
		return err
	})
	return out, err
}

// Unlogged is a sheet that was printed and against which nothing was logged.
type Unlogged struct {
	Code, Job, Part, Brake string
	Quantity               int
	IssuedAt               time.Time
}

// UnloggedSheets lists the sheets issued before a time that have no reading and
// were neither closed, voided nor replaced, oldest first.
func (s *Store) UnloggedSheets(ctx context.Context, c Choice, before time.Time) ([]Unlogged, error) {
	b, err := s.booksNow(ctx)
	if err != nil {
		return nil, err
	}
	var out []Unlogged
	for _, code := range b.waiting() {
		sheet := b.sheets[code]
		if !sheet.issued.Before(before) {
			continue
		}
		chosen, err := s.planHolds(ctx, c, code)
		if err != nil {
			return nil, err
		}
		if chosen {
			out = append(out, Unlogged{
				Code: code, Job: sheet.job, Part: sheet.part, Brake: sheet.brake, Quantity: sheet.quantity, IssuedAt: sheet.issued,
			})
		}
	}
	slices.SortStableFunc(out, func(a, b Unlogged) int { return cmp.Or(a.IssuedAt.Compare(b.IssuedAt), cmp.Compare(a.Code, b.Code)) })
	return out, nil
}

// planHolds reports whether a choice holds for a sheet as it was issued: for one
// of its bars.
func (s *Store) planHolds(ctx context.Context, c Choice, code string) (bool, error) {
	t, err := s.plan(ctx, s.read, code)
	if err != nil {
		return false, err
	}
	day := t.IssuedAt
	if len(day) > len(time.DateOnly) {
		day = day[:len(time.DateOnly)]
	}
	row := tallyRow{
		day: day, part: t.Part.Number, job: t.Job, material: t.Part.MaterialID, thickness: t.Part.Thickness,
		brake: t.Brake.Name, bar: c.Bar,
	}
	return c.holds(&row) && (c.Bar == "" || slices.ContainsFunc(t.Steps, func(step traveler.Step) bool { return step.Bar == c.Bar })), nil
}

// Lists are the values that can be chosen, each once, in order.
type Lists struct {
	Materials, Bars, Brakes, Parts []string
	Thicknesses                    []unit.Micron
}

// Lists gives the values of all readings, whatever is chosen.
func (s *Store) Lists(ctx context.Context) (Lists, error) {
	b, err := s.booksNow(ctx)
	if err != nil {
		return Lists{}, err
	}
	return b.lists, nil
}

// listsOf collects the values of some rows.
func listsOf(rows []tallyRow) Lists {
	materials, bars, brakes, parts := map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}
	thicknesses := map[unit.Micron]bool{}
	for i := range rows {
		r := &rows[i]
		materials[r.material], bars[r.bar], brakes[r.brake], parts[r.part], thicknesses[r.thickness] = true, true, true, true, true
	}
	return Lists{sorted(materials), sorted(bars), sorted(brakes), sorted(parts), sorted(thicknesses)}
}

func sorted[T cmp.Ordered](set map[T]bool) []T {
	var out []T
	for v := range set {
		out = append(out, v)
	}
	slices.Sort(out)
	return out
}
