package fold_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/part"
	"brakeside/calc/stock"
	"brakeside/testdata/folding"
)

// How the flats of folded trays lie to each other is checked against a solid
// modeller that shares no code with us: the npm package manifold-3d. Its answers
// stand in testdata/folding/corners.json; testdata/folding/corners.mjs makes them
// again from the trays that -trays writes.

var traysFile = flag.String("trays", "", "write the flats of the folded trays to this file")

const outsideCorners = "../../testdata/folding/corners.json"

// foldedTray is one tray in space: the convex pieces of its flats, by face, and
// at each corner the faces of the two chains that meet there.
type foldedTray struct {
	Faces   [][][][3]float64 `json:"faces"`
	Bends   []folding.Sector `json:"bends"`
	Joined  [][2]int         `json:"joined"`
	Corners [][2][]int       `json:"corners"`

	text  string
	blank *flat.Blank
	names [][2]string // of the sides, by corner
}

func pick[T any](r *rand.Rand, from ...T) T { return from[r.IntN(len(from))] }

// randomTray draws a tray whose walls stand at 60 to 120 degrees, with lips,
// hems, tabs and mitres.
func randomTray(r *rand.Rand) string {
	tabs := pick(r, part.NoTabs, part.NoTabs, part.NoTabs, part.InsideTabs, part.OutsideTabs)
	var walls []string
	for _, side := range part.SidesInOrder {
		if r.IntN(16) == 0 && len(walls) > 0 {
			continue // an open side
		}
		angle, more := 90, ""
		if tabs == part.NoTabs {
			angle, more = pick(r, 90, 90, 60+r.IntN(61)), mitre(r, 0, 40)+span(r)
		}
		chain := fmt.Sprintf(`{"leg":%d,"angle":%d%s}`, 15+r.IntN(30), angle, more)
		switch r.IntN(7) {
		case 0, 1:
			chain += lip(r, 1)
		case 2:
			chain += lip(r, -1)
		case 3:
			chain += hem(r)
		case 4:
			chain += lip(r, 1) + hem(r)
		}
		walls = append(walls, fmt.Sprintf(`"%s":[%s]`, side, chain))
	}
	return fmt.Sprintf(`{"number":"T","material":"mild-steel","thickness":%v,"inside_radius":%v,"tray":{"base":[%d,%d],"walls":{%s},"corners":{"relief":"%s","size":%v,"gap":%v,"tabs":"%s"}}}`,
		pick(r, 0.5, 0.8, 1, 1.5), pick(r, 0.5, 1, 1.5, 2.5), 90+r.IntN(150), 90+r.IntN(150), strings.Join(walls, ","),
		pick(r, "square", "round", "vee", "none"), pick(r, 1, 2, 4), pick(r, 0, 0.2, 0.5, 1, 2), tabs)
}

func lip(r *rand.Rand, sign int) string {
	return fmt.Sprintf(`,{"leg":%d,"angle":%d%s}`, 9+r.IntN(12), sign*pick(r, 90, 90, 60+r.IntN(61)), mitre(r, 45, 65))
}

func hem(r *rand.Rand) string {
	return fmt.Sprintf(`,{"leg":%d,"angle":%d,"hem":"%s"}`, 7+r.IntN(5), pick(r, 180, -180), pick(r, part.OpenHem, part.ClosedHem))
}

func mitre(r *rand.Rand, low, high int) string {
	if r.IntN(12) > 0 {
		return ""
	}
	return fmt.Sprintf(`,"mitre":%d`, low+r.IntN(high-low))
}

func span(r *rand.Rand) string {
	return pick(r, "", "", "", "", "", "", "", "", `,"span":[0,60]`, `,"span":[8,70]`)
}

// buildable develops a tray and gives nil when it is refused, by what it needs
// for its bends or because faces of it run through each other.
func buildable(t *testing.T, text string) *flat.Blank {
	t.Helper()
	p, err := part.Read([]byte(text))
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	m, err := stock.Find(p.Material)
	if err != nil {
		t.Fatal(err)
	}
	b, err := flat.Develop(p, stock.Sheet{Material: m, Thickness: p.Thickness})
	if err != nil {
		if fault.KindOf(err) != fault.Invalid {
			t.Fatalf("%s: %v", text, err)
		}
		return nil
	}
	if _, hit := fold.Meet(b); hit {
		return nil
	}
	return b
}

// randomTrays are the same 200 on every machine.
func randomTrays(t *testing.T) []foldedTray {
	t.Helper()
	r := rand.New(rand.NewPCG(15, 5))
	var out []foldedTray
	for tries := 0; len(out) < 200; tries++ {
		if tries == 300 {
			t.Fatalf("only %d of %d trays can be built", len(out), tries)
		}
		text := randomTray(r)
		if b := buildable(t, text); b != nil {
			out = append(out, inSpace(text, b))
		}
	}
	return out
}

func inSpace(text string, b *flat.Blank) foldedTray {
	out := foldedTray{Corners: [][2][]int{}, Bends: foldedUp("", b).Bends, text: text, blank: b}
	for _, bodies := range fold.NewTree(b, 0).Solids(fold.All(len(b.Joints))) {
		var pieces [][][3]float64
		for _, body := range bodies {
			pieces = append(pieces, folding.Corners(body))
		}
		out.Faces = append(out.Faces, pieces)
	}
	for _, j := range b.Joints {
		out.Joined = append(out.Joined, j.Faces)
	}
	for _, one := range part.SidesInOrder[:2] {
		for _, other := range part.SidesInOrder[2:] {
			if sides := [2][]int{chainOf(b, one, other), chainOf(b, other, one)}; sides[0] != nil && sides[1] != nil {
				out.Corners, out.names = append(out.Corners, sides), append(out.names, [2]string{string(one), string(other)})
			}
		}
	}
	return out
}

// chainOf lists the faces of a side, with its tab at the corner it has with
// another.
func chainOf(b *flat.Blank, side, with part.Side) []int {
	var out []int
	for i, f := range b.Faces {
		of, rest, _ := strings.Cut(f.ID, ".")
		if of == string(side) && (!strings.HasPrefix(rest, "tab.") || rest == "tab."+string(with)) {
			out = append(out, i)
		}
	}
	return out
}

// endsByHand reports whether a leg at a corner has a mitre or a span of its own.
func (f foldedTray) endsByHand(corner int) bool {
	for _, side := range f.names[corner] {
		for _, w := range f.blank.Part.Tray.Walls[part.Side(side)] {
			if w.Mitre != 0 || w.Span[1] > 0 {
				return true
			}
		}
	}
	return false
}

// No two flats of a finished tray lie deeper in each other than a twentieth of
// a millimetre, and no more metal lies in a curve than an edge 240 long that
// reaches 0.2 into it, 240 x 0.2 x 0.2 / 2 = 4.8 mm3. Where two sides meet they
// come as near as the gap that is asked for and no nearer; a mitre or a span given
// by hand may leave more.
func TestGapsAgainstOutsideModellerOfCorners(t *testing.T) {
	const most = 0.05
	trays := randomTrays(t)
	digest := folding.Digest(t, trays)
	if *traysFile != "" {
		folding.Write(t, *traysFile, map[string]any{"digest": digest, "trays": trays})
		return
	}
	var recorded struct {
		Digest string
		Trays  []struct {
			Deep, Twice float64
			Gaps        []float64
		}
	}
	kept, err := os.ReadFile(outsideCorners)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(kept, &recorded); err != nil {
		t.Fatal(err)
	}
	if recorded.Digest != digest || len(recorded.Trays) != len(trays) {
		t.Fatalf("the recorded distances are of the trays %s, these are %s; make them again as testdata/folding/corners.mjs says", recorded.Digest, digest)
	}
	asAsked := 0
	for i, tray := range trays {
		got, gap := recorded.Trays[i], float64(tray.blank.Part.Tray.Corners.Gap)
		if got.Twice > 5 {
			t.Errorf("%v mm3 of metal lie in other metal: %s", got.Twice, tray.text)
		}
		if got.Deep > most || len(got.Gaps) != len(tray.Corners) {
			t.Errorf("two flats lie %v mm deep in each other, %d corners: %s", got.Deep, len(got.Gaps), tray.text)
		}
		for k, measured := range got.Gaps {
			byHand := tray.endsByHand(k)
			if measured < gap-most || !byHand && measured > gap+most {
				t.Errorf("between %v a gap of %v mm, asked %v: %s", tray.names[k], measured, gap, tray.text)
			}
			if !byHand {
				asAsked++
			}
		}
	}
	if asAsked < 500 {
		t.Errorf("only %d corners have the gap by themselves", asAsked)
	}
}
