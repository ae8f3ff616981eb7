package review

import (
	"fmt"
	"html/template"
	"net/http"
	"strconv"

	"brakeside/calc/spc"
	"brakeside/calc/unit"
	"brakeside/server/chart"
	"brakeside/server/say"
	"brakeside/server/store"
	"brakeside/server/web"
)

// The groups of the charts of groups.
const (
	usualGroup   = 5  // readings; common practice, no source
	mostByRange  = 10 // readings up to which the range tells the spread; see spc.ByRange
	leastGroups  = 5  // fewer are not drawn; common practice, no source
	groupsForAim = 20 // limits from fewer are provisional. Common practice, no source
)

// groupSizes are offered; each has exact factors.
var groupSizes = []int{2, 3, 5, 10, 15, 25}

// groupsView are the readings in groups of equal size, one after the other on
// one sheet: their means, and the spread inside them.
type groupsView struct {
	Words   string
	Figures []figureView
	Sizes   []sizeLink
}

type sizeLink struct {
	Size    int
	Address string
	Chosen  bool
}

type figureView struct {
	Heading string
	Drawing template.HTML
	Words   string
}

// grouped puts the charts of groups in. The size is the address's.
func grouped(r *http.Request, samples []store.Sample) (groupsView, error) {
	size := usualGroup
	for _, n := range groupSizes {
		if r.URL.Query().Get("group") == strconv.Itoa(n) {
			size = n
		}
	}
	var v groupsView
	for _, n := range groupSizes {
		query := r.URL.Query()
		query.Set("group", strconv.Itoa(n))
		v.Sizes = append(v.Sizes, sizeLink{n, r.URL.Path + "?" + query.Encode() + "#groups", n == size})
	}
	groups := groupsOf(samples, size)
	if len(groups) < leastGroups {
		v.Words = fmt.Sprintf("%s of %d readings one after the other on one sheet; charts are drawn from %d groups on.",
			say.Counted(len(groups), "group"), size, leastGroups)
		return v, nil
	}
	by := spc.ByRange
	if size > mostByRange {
		by = spc.BySpread
	}
	c, err := spc.NewGroupChart(groups, by)
	if err != nil {
		return v, err
	}
	v.Words = fmt.Sprintf("%s of %d readings one after the other on one sheet. Spread inside a group %s°.",
		say.Counted(len(groups), "group"), size, unit.Deg(c.Sigma).Text(2))
	if len(groups) < groupsForAim {
		v.Words += fmt.Sprintf(" Limits from fewer than %d groups are provisional.", groupsForAim)
	}
	v.Figures, err = groupFigures(c)
	return v, err
}

// groupsOf cuts the readings of each sheet into groups as they follow one
// another; what is left over at a sheet's end belongs to none.
func groupsOf(samples []store.Sample, size int) [][]float64 {
	var out [][]float64
	var group []float64
	code := ""
	for _, x := range samples {
		if x.Code != code {
			code, group = x.Code, nil
		}
		if group = append(group, float64(x.Reading.Error.Deg())); len(group) == size {
			out, group = append(out, group), nil
		}
	}
	return out
}

// groupFigures draws the means and the spreads with their limits.
func groupFigures(c spc.GroupChart) ([]figureView, error) {
	spread, letter := "Ranges", "R"
	if c.Gauge == spc.BySpread {
		spread, letter = "Standard deviations", "S"
	}
	last := strconv.Itoa(len(c.Means))
	of := func(title string, values []float64, band spc.Band) chart.Graph {
		g := chart.Graph{
			Title: title, Axis: "group, in the order made", First: "1", Last: last,
			Description: fmt.Sprintf("%s of %s, mean %.2f, limits %.2f and %.2f degrees.",
				title, say.Counted(len(values), "group"), band.Center, band.Lower, band.Upper),
			Levels: []chart.Level{
				{Name: "mean", Value: band.Center, Look: chart.Dotted},
				{Name: "limit", Value: band.Upper, Look: chart.Dashed},
				{Name: "limit", Value: band.Lower, Look: chart.Dashed},
			},
		}
		marked := make([]bool, len(values))
		for i, x := range values {
			marked[i] = x > band.Upper || x < band.Lower
		}
		g.Series = []chart.Series{{Values: values, Look: chart.Rings, Marked: marked}}
		return g
	}
	means, spreads := of("Means of groups", c.Means, c.Mean), of(spread+" of groups", c.Spreads, c.Spread)
	spreads.FromZero = true
	a, err := web.Picture(chart.DrawGraph(means))
	if err != nil {
		return nil, err
	}
	b, err := web.Picture(chart.DrawGraph(spreads))
	return []figureView{
		{"Means of groups (X-bar)", a, fmt.Sprintf("Limits %.2f° to %.2f°, from the spread inside the groups; "+
			"black squares lie outside: something changed from group to group.", c.Mean.Lower, c.Mean.Upper)},
		{spread + " of groups (" + letter + ")", b, fmt.Sprintf("Limits %.2f° to %.2f°; "+
			"outside, the spread inside a group changed.", c.Spread.Lower, c.Spread.Upper)},
	}, err
}
