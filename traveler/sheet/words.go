package sheet

import (
	"fmt"
	"strings"
	"time"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Every word that the sheet prints of its own stands in this file.
const (
	wordsPart         = "PART"
	wordsJob          = "JOB"
	wordsQuantity     = "QUANTITY"
	wordsRevision     = "REVISION"
	wordsMaterial     = "MATERIAL"
	wordsThickness    = "THICKNESS"
	wordsMeasured     = "MEASURED"
	wordsMagnet       = "MAGNET TEST"
	wordsSticks       = "sticks"
	wordsNoStick      = "does not stick"
	wordsSizes        = "SIZES ARE"
	wordsAngles       = "ANGLES"
	wordsNotes        = "NOTES FOR THE OFFICE"
	wordsSketch       = "NOTES AND SKETCHES"
	wordsBlank        = "BLANK"
	wordsFinished     = "finished part, not to scale"
	wordsGrain        = "GRAIN"
	wordsDatum        = "DATUM"
	wordsBefore       = "before"
	wordsAfter        = "after"
	wordsStop         = "STOP"
	wordsBar          = "BAR"
	wordsCheck        = "CHECK"
	wordsNoseSetback  = "NOSE SETBACK"
	wordsPiece        = "piece"
	wordsFirst        = "first piece"
	wordsLast         = "last piece"
	wordsFull         = "full leaf face"
	wordsSlim         = "SLIM leaf face"
	wordsGap          = "gap"
	wordsEndOfBrake   = "end of brake"
	wordsPrepare      = "BEFORE THE FIRST BEND"
	wordsStart        = "Lay the blank as drawn: face A up, its lower edge towards you."
	wordsNoseLine     = "NOSE LINE"
	wordsNoseHalf     = "Put the nose edge on the middle of the line: half of it shows."
	wordsNoseShows    = "Edge on the middle of the line: half of it shows."
	wordsNoseUnder    = "The line on face A is underneath: mark it on this face too."
	wordsBarSeen      = "bar"
	wordsDestroy      = "Destroy this sheet if its revision differs from the page that the code opens."
	wordsDestroyOld   = "Destroy this page when the drawing gets a new revision."
	wordsGridTitle    = "ANGLES BY HAND"
	wordsGridUse      = "For when phones fail: angles as measured, before rework. The office types them in."
	wordsGridStopUsed = "stop used"
	wordsGridReads    = "Angles are written as"
	wordsGridBend     = "bend"
	wordsGridOpening  = "opening"
	wordsGridBy       = "Measured by"
	wordsGridTool     = "Tool"
	wordsGridPack     = "Sheet pack or heat number"
	wordsGridMore     = "More than 20 pieces: copy this page first and number the copies on."
	wordsSafety       = "FOR EVERY JOB ON THIS BRAKE"
	wordsSafetyEnd    = "Follow the machine's manual, local codes and qualified people: they come before this sheet."
	wordsPage         = "page"
	wordsFace         = "face"
	wordsUp           = "up"
)

// Words of the label, the wall card and the page for the shear.
const (
	wordsInBox        = "IN THIS BOX"
	wordsLabelUse     = "Label for a box of finished pieces."
	wordsCard         = "Wall card for"
	wordsCardUse      = "Cautions of every job and the marks of the sheets, to hang by the brake."
	wordsMeanings     = "WHAT THE MARKS ON THE SHEETS MEAN"
	wordsMeansUp      = "bend line: the metal folds up, towards face A"
	wordsMeansDown    = "bend line: the metal folds down, towards face B"
	wordsMeansNose    = "nose line: the front edge of the bar lies on its middle, the axis of a round one over it"
	wordsMeansDatum   = "datum edges: every size of the blank is measured from them"
	wordsMeansDisc    = "number of the step that makes the bend"
	wordsMeansTurn    = "turn the part over, about the line of the next bend"
	wordsMeansRotate  = "rotate the part on the bed, the way of the arrow"
	wordsMeansBar     = "change the bar or its fingers"
	wordsMeansHatched = "side of the part that is clamped"
	wordsHabitsTitle  = "ON EVERY JOB"
	wordsCutUse       = "Sizes and number of the blanks, and how they lie on sheets that are sold."
	wordsCutNone      = "The blank is larger than every sheet in the list."
)

// wordsCutHead heads the table of the shear.
var wordsCutHead = []string{"SHEET", "ON A SHEET", "SHEETS", "YIELD", "BLANK LIES"}

// wordsHabits are the rules of the floor, one sentence each.
var wordsHabits = []string{
	"Compare the revision on the sheet with the page that the code opens before the first piece.",
	"Measure the thickness of the sheet and write it down; a magnet tells steel from stainless and aluminium.",
	"Read the angle before any rework and write that one down. Only it teaches the next sheet.",
	"Nothing runs on until the first piece is measured and accepted.",
	"Write what was wrong on the sheet: notes come back to the office.",
}

func cutWords(t *traveler.Traveler) string { return fmt.Sprintf("CUT %d", t.Quantity) }

func grainWords(p traveler.Part) string {
	switch p.Grain {
	case "x":
		return "grain along the first size"
	case "y":
		return "grain along the second size"
	}
	return "grain does not matter"
}

// nestWords are a line of the table of the shear.
func nestWords(n nest) []string {
	lies := "as drawn"
	if n.turned {
		lies = "turned"
	}
	return []string{
		fmt.Sprintf("%s × %s", plainNumber(float64(n.sheet.Length)), plainNumber(float64(n.sheet.Width))),
		fmt.Sprintf("%d (%d strips of %d)", n.pieces(), n.strips, n.each),
		stepNumber(n.sheets),
		fmt.Sprintf("%.0f %%", 100*n.yield),
		lies,
	}
}

func planOfNest(n nest) string {
	return fmt.Sprintf("Strips of %s off the length of %s × %s, then blanks of %s off each strip",
		n.along.Text(1), plainNumber(float64(n.sheet.Length)), plainNumber(float64(n.sheet.Width)), n.cross.Text(1))
}

// Marks of the blank drawing explained beside it.
const (
	wordsKeyDatum = "datum edges"
	wordsKeyNose  = "nose line; 2: is step 2's"
)

// angle prints an angle with one decimal and its sign.
func angle(a unit.CentiDeg) string { return a.Text(1) + "°" }

// trimmed prints a length with two decimals at most and one at least.
func trimmed(m unit.Micron) string {
	s := m.Text(2)
	return strings.TrimSuffix(s, "0")
}

// materialWords put the thickness first: it must stand when the words are cut.
func materialWords(p traveler.Part) string {
	return fmt.Sprintf("%s %s", thicknessWords(p), p.Material)
}

func thicknessWords(p traveler.Part) string { return trimmed(p.Thickness) + " mm" }

// magnetWords tell the operator what a magnet must do with the sheet.
func magnetWords(p traveler.Part) string {
	if p.Magnetic {
		return wordsSticks
	}
	return wordsNoStick
}

// issuedWords say who made the sheet and when, in the time zone it was frozen
// in; what is not known of a sheet made without a service is left out.
func issuedWords(t *traveler.Traveler) string {
	words := "issued " + moment(t.IssuedAt)
	if t.Shop != "" {
		words = t.Shop + " · " + words
	}
	if t.IssuedBy != "" {
		words += " by " + t.IssuedBy
	}
	return words
}

// moment prints an RFC 3339 time to the minute; what is no such time is printed
// as it stands.
func moment(rfc3339 string) string {
	at, err := time.Parse(time.RFC3339, rfc3339)
	if err != nil {
		return rfc3339
	}
	return at.UTC().Format("2006-01-02 15:04 UTC")
}

// grouped sets the code in groups of four, to be read out and typed; the last
// takes what is left, so that no letter stands alone.
func grouped(code string) string {
	letters := []rune(code)
	var groups []string
	for len(letters) > 5 {
		groups, letters = append(groups, string(letters[:4])), letters[4:]
	}
	return strings.Join(append(groups, string(letters)), " ")
}

func scaleWords(times float64) string {
	if times <= 1 {
		return fmt.Sprintf("scale %s:1", plainNumber(1/times))
	}
	return fmt.Sprintf("scale 1:%s", plainNumber(times))
}

func plainNumber(v float64) string {
	return strings.TrimSuffix(unit.MM(v).Text(1), ".0")
}

func blankSize(b traveler.Blank) string {
	return fmt.Sprintf("%s × %s mm", b.Width.Text(1), b.Height.Text(1))
}

func diagonalWords(b traveler.Blank) string {
	return fmt.Sprintf("both diagonals %s", b.Diagonal.Text(1))
}

func weightWords(b traveler.Blank) string {
	return unit.MM(float64(b.Grams)/1000).Text(2) + " kg a piece"
}

// leftOutWords own up to running sizes that are not drawn.
func leftOutWords(n int) string { return fmt.Sprintf("%d sizes have no room here", n) }

// sumWords set the outside sizes beside the blank: metal is saved at each bend,
// so a blank that is not smaller than their sum was worked out wrongly. They
// are empty where no sum is known.
func sumWords(b traveler.Blank) string {
	if b.SumSizes == 0 {
		return ""
	}
	return fmt.Sprintf("Outside sizes add up to %s, the blank is %s: it must be smaller.", b.SumSizes.Text(1), across(b).Text(1))
}

// sizeWords print a running size; the datum edge itself is a plain 0.
func sizeWords(at unit.Micron) string {
	if at == 0 {
		return "0"
	}
	return at.Text(1)
}

func stepNumber(n int) string { return fmt.Sprintf("%d", n) }

// noseWords name a nose line by its step.
func noseWords(step int, at unit.Micron) string { return fmt.Sprintf("%d: %s", step, at.Text(1)) }

// holeWords name a round hole by its diameter.
func holeWords(diameter float64) string { return "Ø" + plainNumber(diameter) }

// faceWords say which face the blank is drawn from, and whether it is the one
// that is marked or filmed.
func faceWords(p traveler.Part) string {
	if p.MarkedFace == "B" {
		return "FACE A UP, marked face B DOWN"
	}
	return "FACE A UP, marked"
}

func bendWords(l traveler.BendLine) string {
	way := "DOWN"
	if l.Up {
		way = "UP"
	}
	return fmt.Sprintf("%s %s", way, plainAngle(l.Angle))
}

// plainAngle leaves off a zero decimal.
func plainAngle(a unit.CentiDeg) string { return strings.TrimSuffix(a.Text(1), ".0") + "°" }

func listedBend(l traveler.BendLine) string {
	return fmt.Sprintf("%s r %s, %s", bendWords(l), l.Radius.Text(1), l.Bend)
}

// targetWords give the angle of the finished bend.
func targetWords(s traveler.Step) string {
	return fmt.Sprintf("→ part %s ±%s", angle(s.Target), s.Tolerance.Text(1))
}

// openingWords give the same angle as the opening between the flanges.
func openingWords(s traveler.Step) string {
	return fmt.Sprintf("(opening %s)", angle(18000-s.Target))
}

// scaleReads names which of the two angles the stop's scale shows.
func scaleReads(reads string) string {
	if reads == wordsGridOpening {
		return wordsGridOpening
	}
	return wordsGridBend
}

func springbackWords(s traveler.Step) string {
	words := "springback " + angle(s.Springback)
	if s.StopFrom != "" {
		words += ": " + s.StopFrom
	}
	return words
}

func barWords(s traveler.Step) string {
	words := s.Bar
	if len(s.Segments) > 0 {
		words += " " + segmentWords(s.Segments)
	}
	words += ", " + leafWords(s.Leaf)
	switch s.Place {
	case traveler.PastLeft:
		words += ", past the LEFT end"
	case traveler.PastRight:
		words += ", past the RIGHT end"
	}
	return words
}

func segmentWords(segments []traveler.Segment) string {
	var widths []string
	for _, s := range segments {
		widths = append(widths, plainNumber(float64(s.Width.MM())))
	}
	return strings.Join(widths, " + ")
}

func leafWords(leaf string) string {
	if leaf == traveler.SlimLeaf {
		return wordsSlim
	}
	return wordsFull
}

func gaugeWords(s traveler.Step) string {
	return "from " + s.GaugeEdge
}

func clampedWords(s traveler.Step) string {
	return fmt.Sprintf("clamp %s, swing %s", s.Clamped, s.Swinging)
}

func tightWords(s traveler.Step) string { return fmt.Sprintf("TIGHT %s mm", s.Clearance.Text(1)) }

// Handling between two bends.
func turnOverWords(s traveler.Step) string {
	return "TURN OVER on the bend line: face " + s.FaceUp + " up"
}

func rotateWords(degrees int) string {
	switch degrees {
	case 90:
		return "ROTATE 90° anticlockwise"
	case 270:
		return "ROTATE 90° clockwise"
	case 180:
		return "ROTATE 180°, end for end"
	}
	return fmt.Sprintf("ROTATE %d° anticlockwise", degrees)
}

func changeBarWords(from, to traveler.Step) string {
	if from.Bar == to.Bar && len(to.Segments) > 0 {
		return "RESET " + to.Bar + " to " + segmentWords(to.Segments)
	}
	return "CHANGE BAR to " + to.Bar
}

func changeLeafWords(to traveler.Step) string {
	if to.Leaf == traveler.SlimLeaf {
		return "LEAF: take the extension off, slim face"
	}
	return "LEAF: put the extension on, full face"
}

// wordsPacking tells of the strip that keeps a bar from rocking on a short leg.
const wordsPacking = "PACKING STRIP under the back of the bar"

// slideOutWords tells how a bar that is closed in comes out after the bend.
func slideOutWords(side string) string {
	return "AFTER the bend slide the bar out to the " + strings.ToUpper(side)
}

func placeWords(place string) string {
	switch place {
	case traveler.PastLeft:
		return "MOVE the part past the LEFT end of the brake"
	case traveler.PastRight:
		return "MOVE the part past the RIGHT end of the brake"
	}
	return "MOVE the part back to the middle of the brake"
}

// prepareWords are the boxes to tick before the first bend.
func prepareWords(b traveler.Brake) []string {
	hold := "bar clamps evenly along its length"
	if b.Magnet {
		hold = "magnet on: bar does not shift"
	}
	zero := fmt.Sprintf("stop zero: leaf flat reads %s (%s)", angle(zeroReading(b)), scaleReads(b.Reads))
	return []string{"blank deburred, no chips", "bed and bar clean", hold, zero}
}

// zeroReading is what the stop's scale shows while the leaf lies flat.
func zeroReading(b traveler.Brake) unit.CentiDeg {
	if b.Reads == "opening" {
		return 18000 + b.Zero
	}
	return b.Zero
}

// runWords say in which order the pieces are made.
func runWords(t *traveler.Traveler) string {
	if t.Quantity == 1 {
		return "One piece: measure every angle and size as you go."
	}
	if t.Run == traveler.ByPiece {
		return "First piece whole and measured; then each piece from the first step to the last."
	}
	return "First piece whole and measured; then step 1 on all, then step 2 on all."
}

// onBrakeWords name the brake the order was planned for.
func onBrakeWords(b traveler.Brake) string { return "on " + b.Name }

// planWords say how long a piece takes and how sure the order is.
func planWords(t *traveler.Traveler) string {
	words := fmt.Sprintf("planned %s minutes a piece", unit.MM(float64(t.Minutes)/100).Text(1))
	if !t.Proven {
		words += ", order not proven the cheapest"
	}
	return words
}

// footWords name the sheet, so that a loose page finds its way back.
func footWords(t *traveler.Traveler) string {
	return fmt.Sprintf("%s · revision %s%s · issued %s", t.Part.Number, t.Part.Revision, ofJob(t, " · "), moment(t.IssuedAt))
}

// ofJob names the job behind a sign, if it has a number.
func ofJob(t *traveler.Traveler, sign string) string {
	if t.Job == "" {
		return ""
	}
	return sign + "job " + t.Job
}

// gridTarget and gridStop head a column of the table: what is wanted, and what
// the stop was advised at.
func gridTarget(s traveler.Step) string { return angle(s.Target) }
func gridStop(s traveler.Step) string   { return "stop " + angle(s.Stop) }

func bendLengthWords(length unit.Micron) string { return "bend " + length.Text(1) + " long" }

func pageWords(number, of int) string { return fmt.Sprintf("%s %d of %d", wordsPage, number, of) }

func titleWords(t *traveler.Traveler) string {
	return fmt.Sprintf("%s revision %s, %s%s", t.Part.Number, t.Part.Revision, t.Part.Title, ofJob(t, ", "))
}

func stepBookmark(s traveler.Step) string {
	return fmt.Sprintf("Step %d: bend %s, %s", s.Number, s.Bend, plainAngle(s.Target))
}

// signals are the signal words of ANSI Z535.4: what could happen, and how
// badly, decides. Notice is for damage to work and machine only, and carries no
// alert sign.
var signals = map[string]string{
	traveler.Danger:  "DANGER",
	traveler.Warning: "WARNING",
	traveler.Care:    "CAUTION",
	traveler.Notice:  "NOTICE",
}

// severity puts the levels in order, the worst first.
var severity = []string{traveler.Danger, traveler.Warning, traveler.Care, traveler.Notice}

// hazard is one of the cautions that are true of every job.
type hazard struct {
	level, sign, text string
}

// hazardsOf lists the general cautions that every sheet for a brake carries.
// The figure of the field is that of the source named in the words.
func hazardsOf(b traveler.Brake) []hazard {
	crush := hazard{traveler.Warning, signCrush, "Bar, bed and leaf crush or cut off fingers. Look for a second person before each swing. Foot control: only the one at the leaf works it."}
	edges := hazard{traveler.Care, signGloves, "Edges cut: gloves to carry sheets, none near the swinging leaf; eye protection. Two people lift what two hands cannot hold level."}
	if !b.Magnet {
		return []hazard{crush, edges}
	}
	implant := hazard{traveler.Warning, signImplant, "Pacemakers and other implants: wearers stay out of fields over 0.5 mT (ACGIH limit for medical devices, 2015, as given at emfs.info)."}
	magnet := hazard{traveler.Warning, signMagnet, "Set bars and fingers with the magnet OFF; switch it on with both hands on the controls. Loose steel tools jump: none near the bed."}
	return []hazard{crush, implant, magnet, edges}
}

// noticesOf lists what harms only things.
func noticesOf(b traveler.Brake) []traveler.Caution {
	if !b.Magnet {
		return nil
	}
	return []traveler.Caution{{Level: traveler.Notice, Text: "The magnet can stop watches and wipe cards: keep them and phones off the bed."}}
}
