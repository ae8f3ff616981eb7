package robot

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// meaning is what a phrase of the paper tells the robot.
type meaning int

// The meanings, by the place on the paper where they stand.
const (
	unknown meaning = iota

	// Moves above a row.
	overOnLine    // about the line of the bend that comes, wherever that lies
	overFrontBack // the edge near the operator goes to the back
	overLeftRight // the edge at his left goes to the right
	rotateLevel   // on the bed
	tipPart       // until another face lies on the bed
	setsBrake     // moves no metal relative to the bend

	// In a row.
	clampWords
	towards
	barWords
	flattenShut
	flattenOverStrip

	// What the nose line is measured from.
	fromEdge
	fromBend
	fromLine

	// What is checked.
	checkLeg
	checkHem
	checkOverall

	// Before the first bend.
	layBlank
	stopZero
)

// phrase is one way to say a thing. Named groups carry the figures and names.
type phrase struct {
	means meaning
	words *regexp.Regexp
}

// The phrases that the robot understands, each list for one place on the paper.
// When the wording of the sheet changes, this table follows and nothing else.
var (
	movePhrases = []phrase{
		{overOnLine, say(`TURN OVER on the bend line: face (?P<face>[AB]) up`)},
		{overFrontBack, say(`TURN OVER front to back(?:: face (?P<face>[AB]) up)?`)},
		{overLeftRight, say(`TURN OVER left to right(?:: face (?P<face>[AB]) up)?`)},
		{rotateLevel, say(`ROTATE (?P<degrees>[\d.]+)°? (?P<way>anticlockwise|clockwise)`)},
		{rotateLevel, say(`ROTATE (?P<degrees>180)°?`)},
		{tipPart, say(`TIP the part(?: .*)?: (?P<face>.+) lies? (?:flat )?on the bed`)},
		{setsBrake, say(`CHANGE BAR to .+`)},
		{setsBrake, say(`SET THE NOSE SETBACK anew: [0-9.]+(, use a [0-9.]+ mm strip)?`)},
		{setsBrake, say(`RESET .+ to [\d. +]+`)},
		{setsBrake, say(`TAKE THE LEAF EXTENSION OFF|PUT THE LEAF EXTENSION ON`)},
		{setsBrake, say(`MOVE the part (?:past the (?:LEFT|RIGHT) end of the brake|back to the middle of the brake)(?:: .+)?`)},
		{setsBrake, say(`PACKING STRIP [\d.]+ mm under the back of the bar, this step only`)},
		{setsBrake, say(`AFTER the bend slide the bar out to the (?:LEFT|RIGHT)`)},
	}
	clampPhrases = []phrase{
		{clampWords, say(`clamp (?P<clamped>.+), swing (?P<swinging>.+)`)},
		{clampWords, say(`clamp (?P<clamped>[^,]+)`)},
		{clampWords, say(`swing (?P<swinging>[^,]+)`)},
	}
	barPhrases = []phrase{
		{barWords, say(`(?P<bar>[^,…]+?)(?:, leaf extension (?:on|OFF))?(?:, past the (?P<end>LEFT|RIGHT) end)?`)},
	}
	nosePhrases = []phrase{
		{fromEdge, say(`(?:mm )?(?:from the )?sheared edge of (?P<face>[^,]+)` + ownLine)},
		{fromBend, say(`(?:mm )?(?:from the )?outside of (?:the )?bend (?P<bend>[^,]+)` + ownLine)},
		{fromLine, say(`(?:mm )?(?:from |on )?the pencilled line` + ownLine)},
	}
	checkPhrases = []phrase{
		{checkHem, say(`WIDTH (?P<face>.+)`)},
		{checkOverall, say(`OVERALL (?P<face>.+?)(?: to .+|, edge to edge)`)},
		{checkLeg, say(`SIZE (?P<face>.+)`)},
	}
	flattenPhrases = []phrase{
		{flattenShut, say(`FLATTEN\b.* (?:shut|closed|onto itself)\.?`)},
		{flattenOverStrip, say(`FLATTEN\b.* over a strip of (?P<strip>[\d.]+)(?: mm)?(?: .*)?`)},
	}
	beforePhrases = []phrase{
		{layBlank, say(`Lay the blank as drawn: face (?P<face>[AB]) up, its (?P<edge>lower|upper|left|right) edge towards you\.`)},
		{stopZero, say(`stop zero: leaf flat reads (?P<zero>-?[\d.]+)° \((?P<scale>bend|opening)\)`)},
	}
	// stepOf is how a bend is named by the step that makes it.
	stepOf = say(`of step (?P<step>\d+)`)
)

// say compiles the words of a whole phrase, in capitals or not.
func say(words string) *regexp.Regexp { return regexp.MustCompile(`^(?i:` + words + `)$`) }

// Figures and labels of the drawing and the rows.
var (
	blankSize   = say(`([\d.]+) × ([\d.]+) mm`)
	scaleWords  = say(`scale ([\d.]+):([\d.]+)`)
	thickWords  = say(`([\d.]+) mm`)
	keyWords    = say(`(UP|DOWN) ([\d.]+)° r ([\d.]+), (.+)`)
	keyBegins   = say(`(UP|DOWN) .*`)
	leftRadius  = regexp.MustCompile(`The blank is for the radius that the bar leaves, ([\d.]+) mm\.`)
	runningNose = say(`(\d+): ([\d.]+)`)
	noseEnds    = say(`nose line (\d+) from ([\d.]+) ?/ ?([\d.]+) to ?[\d.]+ ?/ ?[\d.]+(?: .*)?`)
	stepTab     = say(`(\d+)([a-z]?)`)
	targetWords = say(`→ part ([\d.]+)°(?: ±([\d.]+))?`)
	fromHinge   = say(`(?:mm )?behind the hinge line`)
	degrees     = say(`(-?[\d.]+)°`)
	millimetres = say(`(-?[\d.]+)`)
	springWords = say(`springback ([\d.]+)°.*`)
)

// ownLine is the line's own running figure beside another distance.
const ownLine = `(?:, (?:its )?line (?:at )?(?P<own>[\d.]+))?`

const (
	thicknessLabel = "THICKNESS"
	sizesLabel     = "SIZES ARE"
	stopLabel      = "STOP"
	barLabel       = "BAR"
	noseLabel      = "NOSE LINE"
	setbackLabel   = "NOSE SETBACK"
	backStopLabel  = "BACK STOP"
	checkLabel     = "CHECK"
	flattenLabel   = "FLATTEN"
	cutSign        = "…"
)

// said is a phrase that was understood, with its names and figures.
type said struct {
	means meaning
	named map[string]string
}

func (s said) number(name string) float64 {
	v, _ := strconv.ParseFloat(s.named[name], 64)
	return v
}

// understood reads words by one list of phrases.
func understood(words string, list []phrase) said {
	words = metric(words) // figures that a line's end had parted
	for _, p := range list {
		if m := p.words.FindStringSubmatch(words); m != nil {
			out := said{p.means, map[string]string{}}
			for i, name := range p.words.SubexpNames() {
				if name != "" {
					out.named[name] = m[i]
				}
			}
			return out
		}
	}
	return said{}
}

// inches is a length in inches with the millimetres behind it in brackets.
var inches = regexp.MustCompile(`(-?[\d.]+)( in)? ?\((-?[\d.]+)( mm)?\)`)

// metric turns lengths in inches into millimetres. Who reads inches does not look at
// the brackets, but they must say the same.
func metric(words string) string {
	if !inches.MatchString(words) {
		return words
	}
	words = inches.ReplaceAllStringFunc(words, func(length string) string {
		m := inches.FindStringSubmatch(length)
		in, err := strconv.ParseFloat(m[1], 64)
		mm, wrong := strconv.ParseFloat(m[3], 64)
		if err != nil || wrong != nil || math.Abs(25.4*in-mm) > 0.05+0.001*25.4+1e-9 {
			return length
		}
		unit := ""
		if m[2] != "" {
			unit = " mm"
		}
		return strconv.FormatFloat(25.4*in, 'f', 4, 64) + unit
	})
	if before, found := strings.CutSuffix(words, " in"); found {
		return before + " mm"
	}
	return words
}

// figure reads the only number of some words.
func figure(words string, kind *regexp.Regexp) (float64, bool) {
	m := kind.FindStringSubmatch(words)
	if m == nil {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(m[1]), 64)
	return v, err == nil
}
