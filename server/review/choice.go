package review

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"time"

	"brakeside/server/store"
	"brakeside/server/web"
)

// filterView is the filters above a page of the review.
type filterView struct {
	Action                                      string
	Materials, Thicknesses, Bars, Brakes, Parts []web.Option
	Periods                                     []web.Option
	From, To, Job                               string
	Narrowed                                    bool // something is chosen

	query url.Values // what is chosen, as in the address
}

// periods are what the page can look back over, in days; 0 is all.
var periods = []struct {
	days  int
	words string
}{{0, "all time"}, {7, "7 days"}, {30, "30 days"}, {90, "90 days"}, {365, "a year"}}

// chooses reads the filters of an address and fills the lists beside them. A
// choice that is not in a list is no choice, and neither is what is no date.
func (s *Section) chooses(r *http.Request, action string) (store.Choice, filterView, error) {
	lists, err := s.Store.Lists(r.Context())
	if err != nil {
		return store.Choice{}, filterView{}, err
	}
	query := r.URL.Query()
	view := filterView{Action: action, query: url.Values{}}
	var c store.Choice
	c.Material, view.Materials = view.pick(query, "material", lists.Materials)
	c.Bar, view.Bars = view.pick(query, "bar", lists.Bars)
	c.Brake, view.Brakes = view.pick(query, "brake", lists.Brakes)
	c.Part, view.Parts = view.pick(query, "part", lists.Parts)
	var thicknesses []string
	for _, t := range lists.Thicknesses {
		thicknesses = append(thicknesses, t.Text(2)+" mm")
	}
	var thickness string
	if thickness, view.Thicknesses = view.pick(query, "thickness", thicknesses); thickness != "" {
		c.Thickness = lists.Thicknesses[slices.Index(thicknesses, thickness)]
	}
	u := s.Ruler(r.Context())
	for i, t := range lists.Thicknesses {
		view.Thicknesses[i].Words = u.Sheet(t.MM())
	}
	if job := query.Get("job"); len(job) <= 60 {
		c.Job, view.Job = job, job
		view.keep("job", job)
	}
	s.choosesDays(query, &c, &view)
	return c, view, nil
}

// pick reads one choice.
func (v *filterView) pick(query url.Values, name string, values []string) (chosen string, options []web.Option) {
	for _, value := range values {
		is := value == query.Get(name)
		if is {
			chosen = value
			v.keep(name, value)
		}
		options = append(options, web.Option{Value: value, Words: value, Chosen: is})
	}
	return chosen, options
}

func (v *filterView) keep(name, value string) {
	if value != "" {
		v.query.Set(name, value)
		v.Narrowed = true
	}
}

// choosesDays reads a stretch of days: from and to, or so many days back.
func (s *Section) choosesDays(query url.Values, c *store.Choice, v *filterView) {
	days := chosenDays(query)
	for _, p := range periods {
		v.Periods = append(v.Periods, web.Option{Value: strconv.Itoa(p.days), Words: p.words, Chosen: p.days == days})
	}
	for _, end := range []struct {
		name     string
		to, view *string
	}{{"from", &c.From, &v.From}, {"to", &c.To, &v.To}} {
		if _, err := time.Parse(time.DateOnly, query.Get(end.name)); err == nil {
			*end.to, *end.view = query.Get(end.name), query.Get(end.name)
			v.keep(end.name, *end.to)
		}
	}
	if days > 0 {
		v.keep("days", strconv.Itoa(days))
		if since := s.Now().UTC().AddDate(0, 0, -days).Format(time.DateOnly); since > c.From {
			c.From = since
		}
	}
}

func chosenDays(query url.Values) int {
	days, err := strconv.Atoi(query.Get("days"))
	if err != nil || days < 0 || days > 3650 {
		return 0
	}
	return days
}

// with is the choice narrowed to a cell, for the address of its page.
func (v filterView) with(c store.Cell) url.Values {
	out := url.Values{}
	for name, values := range v.query {
		out[name] = values
	}
	out.Set("material", c.Material)
	out.Set("thickness", c.Thickness.Text(2)+" mm")
	out.Set("bar", c.Bar)
	out.Set("brake", c.Brake)
	return out
}

// Query is what is chosen, for links to other pages of the review.
func (v filterView) Query() string {
	if len(v.query) == 0 {
		return ""
	}
	return "?" + v.query.Encode()
}
