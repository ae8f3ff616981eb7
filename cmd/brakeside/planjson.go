package main

import (
	"math"
	"slices"
	"time"

	"brakeside/calc/figures"
	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/notation"
	"brakeside/calc/process"
	"brakeside/calc/wording"
)

// The JSON of a plan: millimetres and degrees.

type jsonPlan struct {
	Part           string        `json:"part"`
	Revision       string        `json:"revision"`
	Brake          string        `json:"brake"`
	Material       string        `json:"material"`
	Thickness      float64       `json:"thickness"`
	Quantity       int           `json:"quantity"`
	Blank          jsonBlank     `json:"blank"`
	Bends          []jsonBend    `json:"bends"`
	Feasible       bool          `json:"feasible"`
	ProvenCheapest bool          `json:"proven_cheapest"`
	Undecided      bool          `json:"undecided"`
	Run            string        `json:"run"`
	OtherRun       *jsonRun      `json:"other_run"`
	Minutes        float64       `json:"minutes"`
	LiftingSteps   int           `json:"lifting_steps"`              // whose load is over the hold; a proven order has the fewest
	AtLeast        float64       `json:"at_least,omitempty"`         // of an order not proven: none that lifts as seldom takes less
	LiftingAtLeast int           `json:"lifting_at_least,omitempty"` // of such an order: none has fewer lifting steps
	MirrorCheck    string        `json:"mirror_check,omitempty"`     // the feature that tells a blank laid down wrong way up
	Order          []jsonStep    `json:"order"`
	Blocked        []jsonBlocked `json:"blocked"`
	Cautions       []string      `json:"cautions"`
	Said           []jsonSaid    `json:"said"` // the same, in their parts
	Likely         []jsonLikely  `json:"likely"`
	Weight         jsonWeight    `json:"weight"`
	Rules          []jsonRule    `json:"rules,omitempty"`
	Searched       jsonSearched  `json:"searched"`
	InShort        *jsonShort    `json:"in_short,omitempty"` // only where several brakes are compared
}

// jsonShort is what sets one brake beside another in a line.
type jsonShort struct {
	Blank      jsonPoint `json:"blank"`
	RadiusTrue bool      `json:"radius_true"`
	Radius     string    `json:"radius"`
	Minutes    float64   `json:"minutes"`
	Cautions   []string  `json:"cautions"`
	No         string    `json:"no"` // the first reason of a no
}

func shortJSON(p *process.Plan) *jsonShort {
	s := wording.InShort(p)
	return &jsonShort{
		Blank: jsonPoint{float64(p.Blank.Width), float64(p.Blank.Height)}, RadiusTrue: s.RadiusTrue, Radius: s.Radius,
		Minutes: p.Minutes, Cautions: append([]string{}, s.Cautions...), No: s.No,
	}
}

// jsonWeight is the mass and where the blank and the part balance: the part
// with the face named lying flat.
type jsonWeight struct {
	Mass        float64    `json:"kg"`
	BlankCentre jsonPoint  `json:"blank_centre"`
	PartCentre  [3]float64 `json:"part_centre"`
	Lying       string     `json:"lying"`
	TwoPeople   bool       `json:"two_people"`
	Limit       float64    `json:"one_person_kg"`
}

// jsonRule is what one rule for the K-factor would give.
type jsonRule struct {
	Rule   string         `json:"rule"`
	Name   string         `json:"name"`
	Source string         `json:"source"`
	Blank  jsonPoint      `json:"blank"`
	Bends  []jsonRuleBend `json:"bends"`
}

type jsonRuleBend struct {
	ID        string  `json:"id"`
	K         float64 `json:"k"`
	Allowance float64 `json:"allowance"`
	Deduction float64 `json:"deduction"`
}

type jsonPoint [2]float64

type jsonBlank struct {
	Size      jsonPoint      `json:"size"`
	Area      float64        `json:"area"`
	Mass      float64        `json:"mass_kg"`
	Outline   []jsonPoint    `json:"outline"`
	Openings  [][]jsonPoint  `json:"openings"`
	BendLines []jsonBendLine `json:"bend_lines"`
}

type jsonBendLine struct {
	Bend     string          `json:"bend"`
	Line     [2]jsonPoint    `json:"line"`
	Tangents [2][2]jsonPoint `json:"tangents"`
	Nose     *[2]jsonPoint   `json:"nose"`
}

type jsonBend struct {
	ID             string  `json:"id"`
	Angle          float64 `json:"angle"`
	Radius         float64 `json:"radius"`
	K              float64 `json:"k"`
	Rule           string  `json:"k_rule"`
	Hem            string  `json:"hem,omitempty"` // open or closed
	Allowance      float64 `json:"allowance"`
	Deduction      float64 `json:"deduction"`
	OutsideSetback float64 `json:"outside_setback"`
	LeastFlange    float64 `json:"least_flange"`
	Former         float64 `json:"former"` // radius of the round bar it is bent over, 0 for none
	Springback     float64 `json:"springback"`
	SpringbackLow  float64 `json:"springback_low"`
	SpringbackHigh float64 `json:"springback_high"`
	SpringbackFrom string  `json:"springback_from"`
}

type jsonStep struct {
	Step             int             `json:"step"`
	Bend             string          `json:"bend"`
	Bends            []string        `json:"bends"`
	TurnOver         bool            `json:"turn_over"`
	Over             string          `json:"over,omitempty"` // how it is turned over, as the operator sees it
	Rotate           int             `json:"rotate"`
	RotateBy         int             `json:"rotate_by"` // the same as it is where a bend lies askew, more than -180 to 180
	Tip              bool            `json:"tip"`       // until the clamped face, which stands up, lies on the bed
	FaceUp           string          `json:"face_up"`
	Clamped          string          `json:"clamped"`
	Bar              string          `json:"bar"`
	Segments         []float64       `json:"segments"`
	Leaf             string          `json:"leaf"`
	Place            string          `json:"place"`
	NoseSetback      float64         `json:"nose_setback"`
	ContactLine      float64         `json:"contact_line,omitempty"` // of a round bar: how far behind the hinge it lies
	Stop             float64         `json:"stop"`
	StopFrom         string          `json:"stop_from"`
	Target           float64         `json:"target"`
	Flatten          string          `json:"flatten,omitempty"` // the second doing of a hem, in words
	Gauge            float64         `json:"gauge"`
	GaugeEdge        string          `json:"gauge_edge"` // GaugeFrom in words
	GaugeFrom        jsonTouch       `json:"gauge_from"`
	BackStop         float64         `json:"back_stop,omitempty"` // behind the hinge line, on a brake that has one
	Check            []jsonCheck     `json:"check"`
	Pose             [3][4]float64   `json:"pose"` // of the blank in the brake, as the clamped face lies
	ToolsAt          []jsonTool      `json:"tools_at"`
	Clearance        *float64        `json:"clearance"`
	ClearanceBetween []string        `json:"clearance_between"`
	Tight            bool            `json:"tight"`
	SlideOut         string          `json:"slide_out"`
	PackingStrip     bool            `json:"packing_strip"`
	BarPlace         string          `json:"bar_place,omitempty"` // where along the bend, if that is particular
	Closes           []string        `json:"closes"`
	Flattening       *jsonFlattening `json:"flattening,omitempty"`
	Hold             *jsonHold       `json:"hold"`
	Cautions         []string        `json:"cautions"`
	Said             []jsonSaid      `json:"said"` // the same, in their parts
}

// jsonFlattening is how a hem is pressed flat under the same bar: by how much
// the part is pushed back, the strip in the hem, the strips under the back of
// the bar and on what they lie, and the width to check.
type jsonFlattening struct {
	Face      string  `json:"face"`
	Onto      string  `json:"onto"`
	Back      float64 `json:"back"`
	Strip     float64 `json:"strip"`
	Packing   float64 `json:"packing"`
	PackingOn string  `json:"packing_on,omitempty"` // sheet or bed
	Width     float64 `json:"width"`
}

// jsonSaid is a caution: what it is, what can happen, what to do, and what of
// the brake it depends on.
type jsonSaid struct {
	Signal string `json:"signal"`
	Hazard string `json:"hazard"`
	Harm   string `json:"harm,omitempty"`
	Do     string `json:"do"`
	Needs  string `json:"needs,omitempty"`
}

// jsonHold is the estimate of how the magnet holds the bar, N for each mm of
// bend; absent where no magnet holds it.
type jsonHold struct {
	Load   float64 `json:"load"`
	Limit  float64 `json:"limit"`
	Margin float64 `json:"margin"`
	Lifts  bool    `json:"lifts"`
	State  string  `json:"state"` // holds, marginal or too-small
}

// jsonRun is what the other order of the run would cost; absent for one piece.
type jsonRun struct {
	Run     string   `json:"run"`
	Minutes float64  `json:"minutes"`
	Bends   []string `json:"bends"`
}

type jsonBlocked struct {
	Bends  []string   `json:"bends"`
	Reason string     `json:"reason"` // in plain words
	Why    []string   `json:"why"`
	Cures  []jsonCure `json:"cures"`
}

// jsonCure is a change that was planned, with the change itself: a JSON Patch (RFC
// 6902) of the file of the part or of the brake.
type jsonCure struct {
	Change string         `json:"change"`
	Kind   string         `json:"kind"`
	Of     string         `json:"of"`
	Patch  notation.Patch `json:"patch"`
	Frees  string         `json:"frees"`
}

type jsonSearched struct {
	States int     `json:"states"`
	Checks int     `json:"checks"`
	MS     float64 `json:"ms"`
}

func planJSON(p worked) jsonPlan {
	said := slices.Concat(p.Office, p.Cautions)
	out := jsonPlan{
		Part: p.Blank.Part.Number, Revision: p.Blank.Part.Revision, Brake: p.Brake.Name,
		Material: p.Blank.Sheet.Material.ID, Thickness: float64(p.Blank.Sheet.Thickness), Quantity: p.Quantity,
		Blank: blankJSON(p.Plan), Bends: []jsonBend{}, Feasible: p.Feasible,
		ProvenCheapest: p.ProvenCheapest, Undecided: p.Undecided, Run: string(p.Run),
		Minutes: p.Minutes, LiftingSteps: p.Lifting, AtLeast: p.AtLeast, LiftingAtLeast: p.LiftingAtLeast,
		MirrorCheck: wording.MirrorCheck(p.Plan),
		Order:       []jsonStep{}, Blocked: []jsonBlocked{}, Cautions: append(texts(said), p.Blank.Cautions...), Said: saidJSON(said),
		Searched: jsonSearched{p.Searched.States, p.Searched.Checks, milliseconds(p.took)},
	}
	out.Weight, out.Likely = weightJSON(p.Weight), likelyJSON(p.Plan)
	if r := p.OtherRun; r.Run != "" {
		out.OtherRun = &jsonRun{string(r.Run), r.Minutes, r.Bends}
	}
	for _, b := range p.Bends {
		out.Bends = append(out.Bends, bendJSON(b))
	}
	for _, s := range p.Steps {
		out.Order = append(out.Order, stepJSON(p.Blank, s))
	}
	for _, text := range p.Blank.Cautions {
		out.Said = append(out.Said, jsonSaid{Signal: process.Notice.Signal(), Hazard: text})
	}
	for _, b := range p.Blocked {
		cures := []jsonCure{}
		for _, c := range b.Cures {
			cures = append(cures, jsonCure{c.Change, string(c.Kind), string(c.Of), c.Patch, string(c.Frees)})
		}
		out.Blocked = append(out.Blocked, jsonBlocked{b.Bends, b.Reason, b.Why, cures})
	}
	return out
}

func blankJSON(p *process.Plan) jsonBlank {
	b := p.Blank
	out := jsonBlank{
		Size: jsonPoint{float64(b.Width), float64(b.Height)}, Area: b.Area(), Mass: float64(b.Mass()),
		Outline: ring(b.Outline[0]), Openings: [][]jsonPoint{}, BendLines: []jsonBendLine{},
	}
	for _, o := range b.Outline[1:] {
		out.Openings = append(out.Openings, ring(o))
	}
	noses := map[int]*[2]jsonPoint{}
	for _, s := range p.Steps {
		for _, j := range s.Joints {
			nose := pair(s.NoseLine)
			noses[j] = &nose
		}
	}
	for i, j := range b.Joints {
		tangents := j.Tangents()
		out.BendLines = append(out.BendLines, jsonBendLine{
			Bend: j.ID, Line: pair(j.Line), Tangents: [2][2]jsonPoint{pair(tangents[0]), pair(tangents[1])}, Nose: noses[i],
		})
	}
	return out
}

func point(p geom.Point2) jsonPoint { return jsonPoint{p.X, p.Y} }

func pair(l [2]geom.Point2) [2]jsonPoint { return [2]jsonPoint{point(l[0]), point(l[1])} }

func ring(g geom.Polygon) []jsonPoint {
	out := []jsonPoint{}
	for _, p := range g {
		out = append(out, point(p))
	}
	return out
}

func weightJSON(w process.Weight) jsonWeight {
	return jsonWeight{
		Mass: float64(w.Mass), BlankCentre: point(w.Blank), PartCentre: [3]float64{w.Part.X, w.Part.Y, w.Part.Z},
		Lying: w.Lying, TwoPeople: w.Lift.TwoPeople, Limit: float64(w.Lift.Limit),
	}
}

func rulesJSON(compared []figures.ByRule) []jsonRule {
	var out []jsonRule
	for _, c := range compared {
		r := jsonRule{Rule: c.Rule.ID, Name: c.Rule.Name, Source: c.Rule.Source, Blank: jsonPoint{float64(c.Width), float64(c.Height)}}
		for _, b := range c.Bends {
			r.Bends = append(r.Bends, jsonRuleBend{b.ID, b.Finished.K, float64(b.Finished.Allowance()), float64(b.Deduction)})
		}
		out = append(out, r)
	}
	return out
}

func bendJSON(b process.Bend) jsonBend {
	return jsonBend{
		ID: b.ID, Angle: float64(b.Angle), Radius: float64(b.Finished.Radius), K: b.Finished.K, Hem: string(b.Hem), Rule: b.Rule,
		Allowance: float64(b.Finished.Allowance()), Deduction: float64(b.Deduction), Former: float64(b.Former),
		OutsideSetback: float64(b.OutsideSetback()), LeastFlange: float64(b.Bend.LeastFlange()),
		Springback: float64(b.Springback), SpringbackFrom: b.SpringbackFrom,
		SpringbackLow: float64(b.Spread[0]), SpringbackHigh: float64(b.Spread[1]),
	}
}

func stepJSON(b *flat.Blank, s process.Step) jsonStep {
	out := jsonStep{
		Step: s.Number, Bend: s.Bends[0], Bends: s.Bends, TurnOver: s.TurnOver, Over: string(s.Over),
		Rotate: s.Rotate, RotateBy: s.RotateBy, Tip: s.Tip, FaceUp: s.FaceUp,
		Clamped: s.Clamped, Bar: s.Bar.Name, Segments: []float64{}, Leaf: string(s.Leaf), Place: string(s.Place),
		NoseSetback: float64(s.NoseSetback), Stop: tidy(float64(s.Stop)), Target: float64(s.Target), StopFrom: s.StopFrom,
		Gauge: float64(s.Gauge), GaugeEdge: s.GaugeFrom.Words(b), GaugeFrom: touchJSON(s.GaugeFrom), BackStop: tidy(float64(s.BackStop)),
		Check: checksJSON(s.Checks),
		Pose:  poseJSON(s.Pose), ToolsAt: toolsJSON(s.ToolsAt), ClearanceBetween: []string{}, Tight: s.Tight,
		SlideOut: s.SlideOut, PackingStrip: s.PackingStrip, BarPlace: s.BarPlace,
		Closes: append([]string{}, s.Closes...), Cautions: texts(s.Cautions), Said: saidJSON(s.Cautions),
	}
	if s.Flatten != nil {
		out.Flatten, out.Flattening = flattenWords(b, s.Flatten), flatteningJSON(s.Flatten)
	}
	for _, g := range s.Segments {
		out.Segments = append(out.Segments, float64(g.Width))
	}
	if s.Bar.Gauged().Behind > 0 {
		out.ContactLine = float64(s.LineSetback())
	}
	if h := s.Hold; h.Limit > 0 {
		out.Hold = &jsonHold{h.NoseLoad, h.Limit, h.Margin, h.Lifts(), string(h.State)}
	}
	if s.Between != [2]string{} {
		clearance := float64(s.Clearance)
		out.Clearance, out.ClearanceBetween = &clearance, s.Between[:]
	}
	return out
}

func flatteningJSON(f *process.Flatten) *jsonFlattening {
	out := &jsonFlattening{f.Face, f.Onto, float64(f.Back), float64(f.Strip), float64(f.Packing), "", float64(f.Width)}
	switch {
	case f.Packing > 0 && f.PackingOnBed:
		out.PackingOn = "bed"
	case f.Packing > 0:
		out.PackingOn = "sheet"
	}
	return out
}

// milliseconds gives a duration to the microsecond, and never nothing for
// something.
func milliseconds(d time.Duration) float64 { return math.Max(math.Round(d.Seconds()*1e6), 1) / 1e3 }

// tidy takes the dust of binary arithmetic off an angle.
func tidy(v float64) float64 { return math.Round(v*1e9) / 1e9 }

func saidJSON(cautions []process.Caution) []jsonSaid {
	out := []jsonSaid{}
	for _, c := range cautions {
		out = append(out, jsonSaid{c.Level.Signal(), c.Hazard, c.Harm, c.Do, string(c.Needs)})
	}
	return out
}

func texts(cautions []process.Caution) []string {
	out := []string{}
	for _, c := range cautions {
		out = append(out, c.Text())
	}
	return out
}
