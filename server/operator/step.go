package operator

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"brakeside/calc/unit"
	"brakeside/server/say"
	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/phrase"
	"brakeside/traveler/progress"
	"brakeside/traveler/view"
)

// What the operator's page draws and offers.
const (
	sketchWidth, sketchHeight = 84.0, 66.0 // mm, as drawn; the screen scales it
	benchWidth, benchHeight   = 100.0, 66.0
	nameSize, layNameSize     = 4.4, 7.0
	padReach                  = 7 // tenths of a degree either side of the target
)

// stepView is what the traveler says about a step, the same for every piece: a page
// shows it, and the bundle holds that of every step.
type stepView struct {
	Step                       int
	StopScale, Stop            string // Stop is the printed one until another is told
	Printed, StopWhy           string // of another stop than the printed one; else empty
	Target, Opening, Tolerance string
	Settings                   []settingView
	Turn                       []string // what is done to the same piece after the step before
	After                      []string // what is done after the bend
	NoseSetback, Gauge         string
	BackStop                   string // empty where none is used
	Checks                     []string
	Cautions                   []cautionView
	Bench, Lay                 template.HTML // the part in the brake, and from above as it is laid; empty in older travelers
	Before, Picture            template.HTML // end views before and after the bend
	PadAs                      string
	Pad                        []string
	Parts                      stepParts
}

// settingView is one thing the brake is set to, or how the piece lies on it: in
// words that are equal where the setting is.
type settingView struct{ Name, Label, Words string }

// lay is the setting that is of the piece and not of the brake.
const lay = "lay"

type cautionView struct{ Level, Word, Text string }

// signalWords are those of ANSI Z535.4.
var signalWords = map[string]string{
	traveler.Danger: "Danger", traveler.Warning: "Warning", traveler.Care: "Caution", traveler.Notice: "Notice",
}

// viewOf words a step; the pad is in bend angles.
func viewOf(u say.Ruler, t *traveler.Traveler, step traveler.Step) (stepView, error) {
	v := stepView{
		Step: step.Number, StopScale: "on the scale, bend angle", Stop: step.Stop.Text(1),
		Target: step.Target.Text(1) + "°", Opening: phrase.Angle(phrase.OpeningOf(step.Target)),
		Settings: settings(step), Turn: phrase.Turns(step), After: after(t.In(), step),
		NoseSetback: "nose setback " + u.Short(step.NoseSetback.MM()), Gauge: gauge(u, t, step),
	}
	if step.BackStop != 0 {
		v.BackStop = u.Short(step.BackStop.MM()) + " " + phrase.FromHinge
	}
	if step.Flattening == nil && step.Flatten == "" { // what is pressed flat afterwards keeps no angle
		v.Tolerance = step.Tolerance.Text(1) + "°"
	}
	if t.Brake.Reads == progress.GivenOpening {
		v.StopScale = "on the scale, opening"
	}
	if phrase.NeedsStrip(step) {
		v.NoseSetback += ", set with a strip as thick"
	}
	if step.ContactLine != 0 {
		v.NoseSetback = "axis " + u.Short(step.ContactLine.MM()) + " behind the hinge"
	}
	for _, c := range phrase.Checks(step) {
		v.Checks = append(v.Checks, c.Words+" "+u.Short(c.Size.MM()))
	}
	for _, c := range step.Cautions {
		v.Cautions = append(v.Cautions, cautionView{c.Level, signalWords[c.Level], c.Text})
	}
	v.setPad(step, progress.GivenBend)
	return v, v.setPictures(u, t, step)
}

func (v *stepView) setPictures(u say.Ruler, t *traveler.Traveler, step traveler.Step) error {
	before, after := view.Pair(step, sketchWidth, sketchHeight)
	pages := map[*template.HTML]*draw.Page{&v.Picture: after}
	if step.Bench == nil {
		pages[&v.Before] = before
	} else {
		from := ""
		if step.Gauge != 0 {
			from = u.Short(phrase.GaugeSize(t.Blank, step).MM())
		}
		pages[&v.Bench] = view.Bench(step, benchWidth, benchHeight, nameSize)
		pages[&v.Lay] = view.Lay(step, from, sketchWidth, sketchHeight, layNameSize)
	}
	for to, page := range pages {
		drawn, err := web.Picture(page)
		if err != nil {
			return fmt.Errorf("picture of step %d: %w", step.Number, err)
		}
		*to = drawn
	}
	return nil
}

// setPad offers the angles around the target, in the angle a protractor shows.
func (v *stepView) setPad(step traveler.Step, shows string) {
	middle := step.Target
	if shows == progress.GivenOpening {
		middle = opening(step.Target)
	}
	v.PadAs, v.Pad = shows, nil
	for tenths := -padReach; tenths <= padReach; tenths++ {
		v.Pad = append(v.Pad, (middle + unit.CentiDeg(10*tenths)).Text(1))
	}
}

func opening(bend unit.CentiDeg) unit.CentiDeg { return unit.Opening(bend.Deg()).CentiDeg() }

func gauge(u say.Ruler, t *traveler.Traveler, step traveler.Step) string {
	if step.GaugeFrom == nil && step.GaugeEdge == "" {
		return ""
	}
	words := phrase.Gauge(t.In(), t.Blank, step)
	if step.Gauge != 0 {
		words = u.Short(phrase.GaugeSize(t.Blank, step).MM()) + " " + words
	}
	return words
}

var places = map[string]string{
	traveler.Middle:    "middle of the brake",
	traveler.PastLeft:  "hanging past the left end",
	traveler.PastRight: "hanging past the right end",
}

// settings lists how the brake is set for a step and how the piece lies on it. How
// it lies is said as it is, and not from how it lay before: the piece may come off
// a pile.
func settings(step traveler.Step) []settingView {
	list := []settingView{
		{lay, "Lay it", phrase.Lay(step)},
		{"bar", "Bar", step.Bar},
	}
	if len(step.Segments) > 0 {
		list = append(list, settingView{"fingers", "Fingers, left to right", fingers(step)})
	}
	list = append(list, settingView{"leaf", "Leaf extension", phrase.Extension(step.Leaf)}, settingView{"place", "Place", places[step.Place]})
	if step.BarPlace != "" {
		list = append(list, settingView{"along", "Along the brake", step.BarPlace})
	}
	if step.Packing {
		list = append(list, settingView{"packing", "Packing strip", "of the same gauge under the back of the bar"})
	}
	return list
}

// after lists what is done once the bend is made.
func after(in unit.System, step traveler.Step) []string {
	var doings []string
	switch {
	case step.Flattening != nil:
		doings = append(doings, phrase.FlattenSteps(in, *step.Flattening)...)
	case step.Flatten != "":
		doings = append(doings, step.Flatten)
	}
	if step.SlideOut != "" {
		doings = append(doings, "Slide the bar out to the "+step.SlideOut+": it is closed in.")
	}
	return doings
}

// fingers names the fingers of a segmented bar from left to right.
func fingers(step traveler.Step) string {
	widths := make([]string, len(step.Segments))
	for i, segment := range step.Segments {
		widths[i] = segment.Width.Text(0)
	}
	return fmt.Sprintf("%s mm; the first %s mm in from the left end of the bend",
		strings.Join(widths, " + "), step.Segments[0].At.Text(1))
}

// doings lists what there is to do to piece and brake before a bend, for who made
// the bend before it: nobody has when before is the zero Spot. A piece that stays in
// the hand is turned; one off the pile is told how it lies.
func doings(t *traveler.Traveler, before, spot progress.Spot) []settingView {
	step, _ := progress.StepOf(t, spot.Step)
	last, made := progress.StepOf(t, before.Step)
	if before == spot {
		return nil
	}
	var list []settingView
	same := made && before.Piece == spot.Piece && before.Step == spot.Step-1
	if same {
		for _, words := range phrase.Turns(step) {
			list = append(list, settingView{Words: words})
		}
	}
	old := settings(last)
	for _, s := range settings(step) {
		switch {
		case s.Name == lay && !same, s.Name != lay && (!made || !slices.Contains(old, s)):
			list = append(list, s)
		}
	}
	return list
}
