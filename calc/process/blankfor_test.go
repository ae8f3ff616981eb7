package process_test

import (
	"testing"

	"brakeside/calc/figures"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// While a hem is begun the blank has an ordinary bend of 135 degrees in its place
// (common practice, no source); for any other bend it is the blank as it is.
func TestBlankForAHem(t *testing.T) {
	text := `{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"tray":{"base":[120,100],"walls":{"front":[{"leg":40},{"leg":10,"hem":"closed"}]}}}`
	b, err := figures.Shop{}.Develop(suite.Read(t, []byte(text)))
	if err != nil {
		t.Fatal(err)
	}
	p := process.New(b, nil)
	hems := 0
	for i, j := range b.Joints {
		got := p.BlankFor([]int{i})
		switch {
		case j.Hem == part.NoHem && got != b:
			t.Errorf("%s is no hem and has another blank", j.ID)
		case j.Hem != part.NoHem:
			hems++
			if now := got.Joints[i]; now.Hem != part.NoHem || now.Bend.Angle != 135 || b.Joints[i].Hem == part.NoHem {
				t.Errorf("%s is begun as %q with %v degrees, in the finished blank it is %q", j.ID, now.Hem, now.Bend.Angle, b.Joints[i].Hem)
			}
		}
	}
	if hems != 1 {
		t.Errorf("%d hems were looked at", hems)
	}
}
