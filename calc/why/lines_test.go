package why

import (
	"slices"
	"testing"

	"brakeside/calc/fitting"
	"brakeside/calc/order"
)

// Tools that the same is said of are named together, others beside them in the same
// line, and each once.
func TestOneLineACause(t *testing.T) {
	at := func(tool, text string) order.Reason {
		return order.Reason{Cause: fitting.AtBar, Tool: tool, Text: text}
	}
	into := func(tool, depth string) order.Reason {
		return at(tool, "left wall goes "+depth+" mm into the "+tool)
	}
	none := order.Reason{Cause: fitting.Walls, Tool: "fingers", Text: "no set on the shelf fits beside what stands"}
	flange := order.Reason{Cause: fitting.TooShort, Text: "only 6.7 mm would lie under the bar, 10.0 or more is needed"}
	weak := order.Reason{Cause: fitting.TooWeak, Tool: "slim leaf", Text: "too weak: 900 mm long"}
	for _, test := range []struct {
		reasons []order.Reason
		want    []string
	}{
		{[]order.Reason{into("wide bar", "25.7")}, []string{"w: left wall goes 25.7 mm into the wide bar"}},
		{
			[]order.Reason{into("wide bar", "25.7"), into("normal bar", "25.7"), into("narrow bar", "25.7"), into("wide bar", "25.7")},
			[]string{"w: wide, normal and narrow bar: left wall goes 25.7 mm into the bar"},
		},
		{
			[]order.Reason{into("wide bar", "25.7"), into("narrow bar", "21.0"), none},
			[]string{"w: left wall goes 25.7 mm into the wide bar; left wall goes 21.0 mm into the narrow bar; " +
				"fingers: no set on the shelf fits beside what stands"},
		},
		{
			[]order.Reason{weak, {Cause: fitting.TooWeak, Tool: "narrow bar", Text: weak.Text}},
			[]string{"w: slim leaf and narrow bar: too weak: 900 mm long"},
		},
		{[]order.Reason{flange, flange}, []string{"w: " + flange.Text}},
		{[]order.Reason{flange, into("wide bar", "3.0")}, []string{"w: " + flange.Text, "w: left wall goes 3.0 mm into the wide bar"}},
	} {
		var lines []line
		for _, r := range test.reasons {
			lines = add(lines, "w", r)
		}
		var got []string
		for _, l := range lines {
			got = append(got, l.way+": "+l.words())
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("%v gives %q, want %q", test.reasons, got, test.want)
		}
	}
}

// What is true of several bends whatever comes before stands once, with all of them.
func TestAlikeBendsAreNamedTogether(t *testing.T) {
	var lines []line
	for _, bend := range []string{"back wall", "front wall", "back wall", "left wall"} {
		text := "too weak: 900 mm long"
		if bend == "left wall" {
			text = "too weak: 400 mm long"
		}
		lines = add(lines, bend, order.Reason{Cause: fitting.TooWeak, Tool: "narrow bar", Text: text})
	}
	want := []string{"bends back wall and front wall: narrow bar: too weak: 900 mm long", "bend left wall: narrow bar: too weak: 400 mm long"}
	if got := alike(lines); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
