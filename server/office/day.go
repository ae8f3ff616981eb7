package office

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
)

// asked is what the list of jobs is narrowed to and sorted by.
type asked struct {
	search, state, brake, customer string
	by                             string // the name of a column
	down                           bool   // the last first
}

// askedOf reads it from an address. Without a column the sheets come by their due
// dates, and those of one brake by their turns.
func askedOf(query url.Values) asked {
	a := asked{search: query.Get("q"), state: query.Get("state"), brake: query.Get("brake"), customer: query.Get("customer")}
	a.by, a.down = strings.CutPrefix(query.Get("sort"), "-")
	if _, known := columnOf(a.by); !known {
		a.by, a.down = "due", false
		if a.brake != "" {
			a.by = "turn"
		}
	}
	return a
}

// query is an address of the list that asks for it, sorted by a column.
func (a asked) query(by string, down bool) url.Values {
	query := url.Values{}
	for name, value := range map[string]string{"q": a.search, "state": a.state, "brake": a.brake, "customer": a.customer} {
		if value != "" {
			query.Set(name, value)
		}
	}
	if down {
		by = "-" + by
	}
	query.Set("sort", by)
	return query
}

// address is that of a page of the list as it is asked for.
func (a asked) address(page string) string {
	query := a.query(a.by, a.down)
	if page != "" {
		query.Set("page", page)
	}
	return "/?" + query.Encode()
}

// narrowed reports whether not all sheets are asked for.
func (a asked) narrowed() bool { return a.search != "" || a.chosen() }

// chosen reports whether they are asked for by more than words.
func (a asked) chosen() bool { return a.state != "" || a.brake != "" || a.customer != "" }

// holds reports whether a sheet is asked for.
func (a asked) holds(sheet *store.Line) bool {
	return (a.state == "" || a.state == string(shelf.StateOf(*sheet))) &&
		(a.brake == "" || a.brake == sheet.Brake) && (a.customer == "" || a.customer == sheet.Customer) &&
		(a.search == "" || shelf.Found(a.search, sheet.Job, sheet.Part, sheet.Revision, sheet.Title, sheet.Material,
			sheet.Thickness.Text(2), sheet.Brake, sheet.Due, sheet.Customer, sheet.Note, shelf.Standing(*sheet)))
}

// column is a column of the list by which it can be sorted.
type column struct {
	name, words string
	figure      bool
	before      func(a, b *dayLine) int
}

// dayLine is an open sheet with the minutes that are left of it.
type dayLine struct {
	*store.Line
	left float64
}

// columns are all of them, in the order shown. What is not given comes last.
var columns = []column{
	{"turn", "Turn", true, func(a, b *dayLine) int { return shelf.LastCompare(a.Turn, b.Turn) }},
	{"job", "Job", false, func(a, b *dayLine) int { return shelf.CompareNumbers(a.Job, b.Job) }},
	{"part", "Part", false, func(a, b *dayLine) int { return shelf.CompareNumbers(a.Part, b.Part) }},
	{"pieces", "Pieces", true, func(a, b *dayLine) int { return cmp.Compare(a.Quantity, b.Quantity) }},
	{"due", "Due", false, func(a, b *dayLine) int { return shelf.LastCompare(a.Due, b.Due) }},
	{"left", "Minutes left", true, func(a, b *dayLine) int { return cmp.Compare(a.left, b.left) }},
	{"in", "Bends in", false, func(a, b *dayLine) int { return cmp.Compare(a.Done*max(b.Bends, 1), b.Done*max(a.Bends, 1)) }},
	{"brake", "Brake", false, func(a, b *dayLine) int { return cmp.Compare(a.Brake, b.Brake) }},
	{"customer", "Customer", false, func(a, b *dayLine) int { return shelf.LastCompare(a.Customer, b.Customer) }},
	{"state", "State", false, func(a, b *dayLine) int {
		return cmp.Or(cmp.Compare(shelf.StateOf(*a.Line), shelf.StateOf(*b.Line)), cmp.Compare(shelf.Standing(*a.Line), shelf.Standing(*b.Line)))
	}},
}

func columnOf(name string) (column, bool) {
	at := slices.IndexFunc(columns, func(c column) bool { return c.name == name })
	if at < 0 {
		return column{}, false
	}
	return columns[at], true
}

// sort puts sheets into the order asked for; equal ones by due date, turn and number.
func (a asked) sort(lines []dayLine) {
	due, _ := columnOf("due")
	turn, _ := columnOf("turn")
	job, _ := columnOf("job")
	first, _ := columnOf(a.by)
	slices.SortStableFunc(lines, func(x, y dayLine) int {
		order := first.before(&x, &y)
		if a.down {
			order = -order
		}
		return cmp.Or(order, due.before(&x, &y), turn.before(&x, &y), job.before(&x, &y))
	})
}

// heads are the heads of the columns that are shown.
func (a asked) heads() []shelf.Head {
	var heads []shelf.Head
	for _, c := range columns {
		if c.name == "turn" && a.brake == "" || c.name == "brake" && a.brake != "" {
			continue
		}
		h := shelf.Head{Words: c.words, Figure: c.figure, Address: "/?" + a.query(c.name, a.by == c.name && !a.down).Encode()}
		if a.by == c.name {
			h.Sorted = shelf.Direction(a.down)
		}
		heads = append(heads, h)
	}
	return heads
}

// fields are the fields of the form that narrows the list, besides that for words.
func (a asked) fields(all []store.Line) []web.Field {
	brakes, customers := []string{"", "any"}, []string{"", "any"}
	add := func(to *[]string, value string) {
		if value != "" && !slices.Contains(*to, value) {
			*to = append(*to, value, say.Typed(value))
		}
	}
	for i := range all {
		if shelf.Open(all[i]) {
			add(&brakes, all[i].Brake)
			add(&customers, all[i].Customer)
		}
	}
	states, sorts := []string{"", "any"}, []string{}
	for _, s := range shelf.States {
		states = append(states, string(s), string(s))
	}
	for _, c := range columns {
		sorts = append(sorts, c.name, c.words, "-"+c.name, c.words+", last first")
	}
	sorted := a.query(a.by, a.down).Get("sort")
	return []web.Field{
		{Name: "state", Label: "State", Choices: web.Choices(a.state, states...)},
		{Name: "brake", Label: "Brake", Choices: web.Choices(a.brake, brakes...)},
		{Name: "customer", Label: "Customer", Choices: web.Choices(a.customer, customers...)},
		{Name: "sort", Label: "Sorted by", Choices: web.Choices(sorted, sorts...)},
	}
}

// mostTurn is the largest turn that may be typed.
const mostTurn = 9999

// OrderJobs keeps the turns of the open sheets of a brake as they were typed, and
// counts them anew from 1 on. Of two with one number the one that was changed comes
// first.
func (s *Section) OrderJobs(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	sheets, err := s.Store.Travelers(r.Context())
	if err != nil {
		return err
	}
	details, err := turnsOf(sheets, form)
	if web.IsRefusal(err) {
		return s.showJobs(w, r, form, err)
	}
	if err := s.Store.DetailJob(r.Context(), details...); err != nil {
		return err
	}
	s.News.Tell()
	address := url.Values{"brake": {form.Get("brake")}, "sort": {"turn"}}
	return web.GoOn(w, r, "/?"+address.Encode(), web.SaidOrder)
}

// turnsOf are the details of the jobs whose turn is another than before.
func turnsOf(sheets []store.Line, form url.Values) ([]store.JobDetail, error) {
	type turn struct {
		sheet          *store.Line
		typed, changed int
	}
	var turns []turn
	for i := range sheets {
		sheet := &sheets[i]
		if sheet.Brake != form.Get("brake") || !shelf.Open(*sheet) {
			continue
		}
		name := "turn-" + sheet.Code
		typed := sheet.Turn
		if text := form.Get(name); form.Has(name) {
			n, err := strconv.Atoi(cmp.Or(text, "0"))
			if err != nil || n < 0 || n > mostTurn {
				return nil, fault.New(fault.Invalid, name, "The turn of job %s is a whole number from 1 to %d, or empty, not %.20q.",
					say.Typed(sheet.Job), mostTurn, text)
			}
			typed = n
		}
		turns = append(turns, turn{sheet, typed, map[bool]int{true: 0, false: 1}[typed != sheet.Turn]})
	}
	slices.SortStableFunc(turns, func(a, b turn) int {
		return cmp.Or(shelf.LastCompare(a.typed, b.typed), cmp.Compare(a.changed, b.changed), shelf.LastCompare(a.sheet.Turn, b.sheet.Turn))
	})
	var details []store.JobDetail
	for i, t := range turns {
		d := detailOf(t.sheet)
		if d.Turn = 0; t.typed > 0 {
			d.Turn = i + 1
		}
		if d.Turn != t.sheet.Turn {
			details = append(details, d)
		}
	}
	return details, nil
}

// detailOf is what is said of the job of a sheet now.
func detailOf(sheet *store.Line) store.JobDetail {
	return store.JobDetail{
		Job: sheet.Job, Due: sheet.Due, Customer: sheet.Customer, Note: sheet.Note, Turn: sheet.Turn, By: store.RoleOwner,
	}
}
