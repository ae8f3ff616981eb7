package robot

import (
	"fmt"
	"strconv"
	"strings"
)

// Paper is what one traveler says.
type Paper struct {
	Thickness     float64
	LeftRadius    float64 // what the bar leaves where no bar makes the drawn radius; 0 where nothing is said
	Sizes         string  // the words beside "sizes are"
	Width, Height float64
	Outline       []Point // of the blank, from its datum corner
	Blur          float64 // how far a place read off the drawing may be out
	Lines         []Line
	Key           []Line // the list beside the drawing: step, way, angle, radius, name
	Figures       []Figure
	Letters       []Letter
	Steps         []Step
	FaceUp        string // how the loose blank is laid
	Near          string // which edge of the drawing is towards the operator
	Zero          float64
	Scale         string // bend or opening: what the stop's scale shows
	Unread        []string
	Cut           []string // all words that are cut off, in rows too
}

// Figure is a running figure of a nose line, which carries its step's number:
// from the left edge for an upright line, from the lower one for a level line.
type Figure struct {
	Step    int
	MM      float64
	Upright bool
}

// Line is one bend line of the drawing.
type Line struct {
	Step     int // 0 where no number stands on it
	From, To Point
	Up       bool
	Angle    float64
	Radius   float64
	Name     string
	Running  float64 // running figure of the nose line, square to the line
	Figured  bool    // there is one
	Drawn    Point   // a place on the nose line as it is drawn
	HasDrawn bool
	Bare     bool // no number stands on it
}

// along is the direction of the line.
func (l Line) along() Point { return l.From.to(l.To).unit() }

// Letter is a word written on the metal.
type Letter struct {
	At    Point
	Words string
}

// Known reports whether the phrase was understood.
func (m Move) Known() bool { return m.means != unknown }

// Turns reports whether the move turns the part.
func (m Move) Turns() bool { return m.means != unknown && m.means != setsBrake }

// Known reports whether the phrase was understood.
func (f From) Known() bool { return f.means != unknown }

// Known reports whether the phrase was understood.
func (c Check) Known() bool { return c.means != unknown }

// Move is something done to the part before a bend.
type Move struct {
	Words   string
	means   meaning
	Face    string
	Degrees float64 // anticlockwise
}

// From is what a figure is measured from.
type From struct {
	means meaning // fromEdge, fromBend or fromLine
	Name  string  // of the face or bend
}

// Check is a drawn size of a face to measure after a bend.
type Check struct {
	MM    float64
	means meaning
	Face  string
	Words string
}

// Step is one numbered row.
type Step struct {
	Number            int
	Moves             []Move
	FaceUp            string
	Clamped, Swinging string
	Setback           float64
	Target            float64
	Stop              float64
	Springback        float64
	Sprung            bool // the springback is printed
	Bar               string
	Nose              float64
	NoseFrom          From
	Own               bool    // the line's own running figure stands beside it
	BackStop          float64 // where it is set for that, behind the hinge line; 0 where none is named
	Checks            []Check
	Flatten           bool
	Strip             float64  // what lies in the hem while it is flattened
	Cut               []string // words that are cut off
}

// Read reads a finished traveler.
func Read(file []byte) (*Paper, error) {
	all, err := pages(file)
	if err != nil {
		return nil, err
	}
	p := &Paper{}
	for i, pg := range all {
		if i == 0 {
			p.head(pg)
			p.blank(pg)
		}
		p.before(pg)
		p.rows(pg)
		for _, t := range pg.items {
			if strings.HasSuffix(t.words, cutSign) {
				p.Cut = append(p.Cut, t.words)
			}
		}
	}
	if len(p.Steps) == 0 {
		p.unread("no step is found")
	}
	if p.FaceUp == "" {
		p.unread("how the blank is laid")
	}
	if p.Scale == "" {
		p.unread("what the stop's scale shows")
	}
	return p, nil
}

// unread notes what the robot looked for and did not find or understand.
func (p *Paper) unread(format string, a ...any) {
	p.Unread = append(p.Unread, fmt.Sprintf(format, a...))
}

// head reads the sheet's thickness and how sizes are given.
func (p *Paper) head(pg page) {
	if t, ok := figure(below(pg, thicknessLabel), thickWords); ok {
		p.Thickness = t
	} else {
		p.unread("thickness")
	}
	p.Sizes, _, _ = strings.Cut(below(pg, sizesLabel), ",")
	if p.Sizes == "" {
		p.unread("how sizes are given")
	}
}

// below is what stands under a label of the head.
func below(pg page, label string) string {
	for _, l := range pg.items {
		if l.words != label {
			continue
		}
		for _, t := range pg.items {
			if drop := l.y - t.y; near(t.x, l.x, 0.3) && drop > 1 && drop < 7 {
				return t.words
			}
		}
	}
	return ""
}

func near(a, b, within float64) bool { return a-b <= within && b-a <= within }

// before reads how the blank is laid and what the stop's scale shows.
func (p *Paper) before(pg page) {
	var all []string
	for _, t := range pg.items {
		all = append(all, t.words)
	}
	if m := leftRadius.FindStringSubmatch(strings.Join(all, " ")); m != nil {
		p.LeftRadius, _ = strconv.ParseFloat(m[1], 64)
	}
	for _, t := range pg.items {
		switch s := understood(t.words, beforePhrases); s.means {
		case layBlank:
			p.FaceUp, p.Near = s.named["face"], s.named["edge"]
		case stopZero:
			p.Zero, p.Scale = s.number("zero"), s.named["scale"]
		}
	}
}
