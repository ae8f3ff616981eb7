package lessons

import (
	"strings"
	"testing"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// A change is put on top, going back takes the top off, a refusal is remembered
// until something else is decided.
func TestSettledOf(t *testing.T) {
	const a, e, r, b = store.DecisionAccepted, store.DecisionEdited, store.DecisionRefused, store.DecisionReturned
	for _, c := range []struct {
		kinds   []string
		now     int64 // seq of the one that holds, 0 for none
		refused bool
	}{
		{nil, 0, false}, {[]string{a}, 1, false}, {[]string{a, e}, 2, false}, {[]string{a, e, b}, 1, false}, {[]string{a, b}, 0, false}, {[]string{b}, 0, false},
		{[]string{r}, 0, true}, {[]string{a, r}, 1, true}, {[]string{r, a}, 2, false}, {[]string{a, e, b, b, a}, 5, false}, {[]string{a, r, b}, 0, false},
	} {
		var all []store.Settlement
		for i, kind := range c.kinds {
			all = append(all, store.Settlement{Seq: int64(i + 1), Name: "x", Kind: kind})
		}
		s := settledOf(all)
		now, is := s.now("x")
		_, refused := s.refused["x"]
		if now.Seq != c.now || is != (c.now > 0) || refused != c.refused {
			t.Errorf("settledOf(%v) holds %d, refused %v, want %d, %v", c.kinds, now.Seq, refused, c.now, c.refused)
		}
		if _, is := s.now("y"); is {
			t.Errorf("settledOf(%v) holds something of another", c.kinds)
		}
	}
}

// The changes before and after one of the same name bound what is told of it.
func TestSpan(t *testing.T) {
	at := func(hour int) time.Time { return noon.Add(time.Duration(hour) * time.Hour) }
	all := []store.Settlement{
		{Seq: 1, Name: "x", Kind: store.DecisionAccepted, At: at(1)}, {Seq: 2, Name: "y", Kind: store.DecisionAccepted, At: at(2)},
		{Seq: 3, Name: "x", Kind: store.DecisionEdited, At: at(3)}, {Seq: 4, Name: "x", Kind: store.DecisionRefused, At: at(4)}, {Seq: 5, Name: "x", Kind: store.DecisionReturned, At: at(5)},
	}
	for i, want := range [][2]time.Time{{{}, at(3)}, {{}, {}}, {at(1), at(5)}, {}, {at(3), {}}} {
		if all[i].Kind == store.DecisionRefused {
			continue
		}
		if from, to := span(all, all[i]); !from.Equal(want[0]) || !to.Equal(want[1]) {
			t.Errorf("span of %d is %v to %v, want %v to %v", i+1, from, to, want[0], want[1])
		}
	}
}

// Deviations worked by hand: 0.1, -0.3, 0.2.
func TestDeviations(t *testing.T) {
	var d Deviations
	d.add(0.1)
	d.add(-0.3)
	d.add(0.2)
	if d.N != 3 || !near(unit.Deg(d.Mean), 0, 1e-12) || !near(unit.Deg(d.MeanSize), 0.2, 1e-12) {
		t.Errorf("Deviations = %+v, want mean 0 and size 0.2", d)
	}
}

// A K is decided only as it was shown, and moved by no more than is safe.
func TestDecidedK(t *testing.T) {
	p := KProposal{Key: StripKey{"mild-steel", 1500, 1500, ""}}
	p.Bend.Angle, p.Bend.Thickness, p.Now, p.Next, p.Wanted, p.N = 90, 1.5, 0.33, 0.4, 0.45, 4
	// Half a millimetre of deduction is 0.5/(1.5*pi/2) = 0.212 of K.
	for _, c := range []struct {
		kind    string
		k, want float64
		changes bool
		refused string
	}{
		{store.DecisionAccepted, 0, 0.4, true, ""}, {store.DecisionRefused, 0, 0.33, false, ""},
		{store.DecisionEdited, 0.542, 0.542, true, ""}, {store.DecisionEdited, 0.543, 0, false, "0.118 to 0.542"}, {store.DecisionEdited, 0.117, 0, false, "0.118 to 0.542"},
		{"dreamt", 0, 0, false, "Accept, edit or refuse."},
	} {
		x, err := decidedK(p, KChoice{Key: p.Key, Kind: c.kind, K: c.k, By: "owner", At: noon}, figures.Shop{})
		if c.refused != "" {
			if fault.KindOf(err) != fault.Invalid || !strings.Contains(err.Error(), c.refused) {
				t.Errorf("%s %v: %v, want a refusal that says %q", c.kind, c.k, err, c.refused)
			}
			continue
		}
		if err != nil || x.Becomes != c.want || x.Changes != c.changes || (len(x.Shop.Calibrations) == 1) != c.changes {
			t.Errorf("%s %v = %+v, %v, want %v", c.kind, c.k, x, err, c.want)
		}
	}
}
