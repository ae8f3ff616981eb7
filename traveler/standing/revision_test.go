package standing

import (
	"strings"
	"testing"

	"brakeside/calc/fault"
)

func TestParts(t *testing.T) {
	p := FoldMarks([]Mark{{Number: "TR-7", Revision: "A", Kind: Ready}, {Number: "BR-2", Revision: "3", Kind: Ready}, {Number: "TR-7", Revision: "B", Kind: Ready},
		{Number: "BR-2", Kind: Archived}, {Number: "TR-7", Kind: Archived}, {Number: "TR-7", Kind: Restored}})
	for _, c := range []struct{ number, revision, want string }{
		{"TR-7", "A", Superseded}, {"TR-7", "B", Ready}, {"TR-7", "C", Draft}, {"BR-2", "3", Ready}, {"XX", "A", Draft},
	} {
		if got := p.Of(c.number, c.revision); got != c.want {
			t.Errorf("%s %s is %s, want %s", c.number, c.revision, got, c.want)
		}
		if err := p.MayChange(c.number, c.revision); (err == nil) != (c.want == Draft) || err != nil && fault.KindOf(err) != fault.Conflict {
			t.Errorf("MayChange(%s %s) = %v", c.number, c.revision, err)
		}
		if err := p.MayIssue(c.number, c.revision); (err == nil) != (c.want == Ready) {
			t.Errorf("MayIssue(%s %s) = %v", c.number, c.revision, err)
		}
	}
	if revision, found := p.Ready("TR-7"); revision != "B" || !found {
		t.Errorf("Ready = %s, %t, want B", revision, found)
	}
	if _, found := p.Ready("XX"); found || !p.Archived("BR-2") || p.Archived("TR-7") {
		t.Error("what is not there is ready, or what was restored is put away")
	}
	for _, c := range []struct {
		mark Mark
		want fault.Kind
	}{
		{Mark{Number: "TR-7", Revision: "C", Kind: Ready}, fault.Internal}, {Mark{Number: "TR-7", Revision: "B", Kind: Ready}, fault.Conflict},
		{Mark{Number: "TR-7", Revision: "A", Kind: Ready}, fault.Conflict}, {Mark{Number: "TR-7", Kind: Archived}, fault.Internal},
		{Mark{Number: "BR-2", Kind: Archived}, fault.Conflict}, {Mark{Number: "BR-2", Kind: Restored}, fault.Internal},
		{Mark{Number: "XX", Kind: Restored}, fault.Conflict}, {Mark{Number: "XX", Kind: "lost"}, fault.Invalid},
	} {
		if err := p.Admit(c.mark); (err == nil) != (c.want == fault.Internal) || err != nil && fault.KindOf(err) != c.want {
			t.Errorf("Admit(%+v) = %v, want kind %d", c.mark, err, c.want)
		}
	}
	if err := p.MayChange("TR-7", "B"); err == nil || !strings.Contains(err.Error(), "such as C") {
		t.Errorf("MayChange = %v, want it to name the next letter", err)
	}
}

func TestNextRevision(t *testing.T) {
	for revision, want := range map[string]string{"": "A", "A": "B", "Y": "Z", "Z": "ZA", "c": "d", "9": "10", "1b": "1c", "A-": "A-A"} {
		if got := NextRevision(revision); got != want {
			t.Errorf("NextRevision(%q) = %q, want %q", revision, got, want)
		}
	}
}
