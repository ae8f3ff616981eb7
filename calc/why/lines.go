package why

import (
	"fmt"
	"slices"
	"strings"

	"brakeside/calc/fitting"
	"brakeside/calc/order"
)

// What stands in the way is told in one line for each cause: bars and leaves that it
// says the same of are named together, the others beside them.

// line is what one cause does to one way of making a bend.
type line struct {
	way    string // which bends are made before, which is bent, what is clamped; or the bend alone
	cause  string
	things []thing
}

// thing is what is said of some tools of the brake.
type thing struct {
	tools []string
	text  string // as it is said of any of them
	own   string // as it was said of the first
}

// whatever are the causes that are the same whatever is bent before and clamped.
var whatever = []string{fitting.TooLong, fitting.TooWeak, fitting.TooFar, fitting.OtherBend}

// together are causes that are told in one line with another.
var together = map[string]string{fitting.Walls: fitting.AtBar}

// linesOf words reasons, those first that are the same for every order.
func linesOf(s *fitting.Station, ends []order.Stuck) []string {
	var always, then []line
	for _, end := range ends {
		for _, r := range end.Reasons {
			bend := s.Plan.Blank.Joints[s.Operations[r.Bend][0]].Word
			if slices.Contains(whatever, r.Cause) {
				always = add(always, bend, r)
				continue
			}
			clamped := s.Plan.Blank.Faces[s.Clamped(r.Bend, r.Side)].Word
			then = add(then, after(s, end.Made)+"bend "+bend+", clamping "+clamped, r)
		}
	}
	out := alike(always)
	for _, l := range then {
		out = append(out, l.way+": "+l.words())
	}
	return out
}

// alike words lines of single bends, those together that say the same of several.
func alike(lines []line) []string {
	var said []string
	bends := map[string][]string{}
	for _, l := range lines {
		words := l.words()
		if bends[words] == nil {
			said = append(said, words)
		}
		bends[words] = append(bends[words], l.way)
	}
	for i, words := range said {
		head := "bend "
		if len(bends[words]) > 1 {
			head = "bends "
		}
		said[i] = head + listed(bends[words]) + ": " + words
	}
	return said
}

// add puts a reason into the line of its way and cause.
func add(lines []line, way string, r order.Reason) []line {
	cause := r.Cause
	if with, is := together[cause]; is {
		cause = with
	}
	at := slices.IndexFunc(lines, func(l line) bool { return l.way == way && l.cause == cause })
	if at < 0 {
		at, lines = len(lines), append(lines, line{way: way, cause: cause})
	}
	text := r.Text
	if r.Tool != "" {
		text = strings.ReplaceAll(text, "the "+r.Tool, "the "+kindOf(r.Tool))
	}
	things := lines[at].things
	same := slices.IndexFunc(things, func(t thing) bool { return t.text == text && (t.tools == nil) == (r.Tool == "") })
	switch {
	case same < 0 && r.Tool == "":
		lines[at].things = append(things, thing{text: text, own: r.Text})
	case same < 0:
		lines[at].things = append(things, thing{[]string{r.Tool}, text, r.Text})
	case !slices.Contains(things[same].tools, r.Tool) && r.Tool != "":
		things[same].tools = append(things[same].tools, r.Tool)
	}
	return lines
}

// words are what is said of all tools.
func (l line) words() string {
	var said []string
	for _, t := range l.things {
		if len(t.tools) == 0 || len(t.tools) == 1 && strings.Contains(t.own, "the "+t.tools[0]) {
			said = append(said, t.own)
			continue
		}
		said = append(said, toolWords(t.tools)+": "+t.text)
	}
	return strings.Join(said, "; ")
}

// kindOf is what kind of tool a name ends in: of the wide bar it is bar.
func kindOf(tool string) string { return tool[strings.LastIndex(tool, " ")+1:] }

// toolWords joins the names of tools: wide and narrow bar, but narrow bar and slim leaf.
func toolWords(tools []string) string {
	short := slices.Clone(tools)
	for i := range max(0, len(tools)-1) {
		if kindOf(tools[i]) != kindOf(tools[len(tools)-1]) {
			return listed(tools)
		}
		short[i] = strings.TrimSuffix(tools[i], " "+kindOf(tools[i]))
	}
	return listed(short)
}

// listed joins words as a sentence does.
func listed(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return fmt.Sprintf("%s and %s", strings.Join(words[:last], ", "), words[last])
}

// after names the bends already made.
func after(s *fitting.Station, made order.Made) string {
	var words []string
	for i, joints := range s.Operations {
		if made.Has(i) {
			words = append(words, s.Plan.Blank.Joints[joints[0]].Word)
		}
	}
	if words == nil {
		return ""
	}
	return "after " + strings.Join(words, ", ") + ": "
}
