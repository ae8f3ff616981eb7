package flat_test

import (
	"errors"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/part"
)

// FuzzDevelop: whatever part can be read, its blank is worked out or refused
// with a message that is no mistake of the program, and never with a size that
// is not a number.
func FuzzDevelop(f *testing.F) {
	f.Add([]byte(fourWalls(`{"relief":"vee"}`, `{"leg":40},{"leg":15,"angle":-90,"mitre":45}`)))
	f.Add([]byte(header + `"sizes":"inside","over_90":"tangent","profile":{"length":200,"legs":[30,40,20],"bends":[120,-45]}}`))
	f.Add([]byte(drawn{faces: []string{plate, flange}, bends: []string{edge}, joined: []string{`["plate","plate"]`}}.text()))
	f.Add([]byte(header + `"flat":{"faces":[{"id":"a","outline":[[0,0],[1,0],[0,1]]},{"id":"b","outline":[[0,0],[0,-1],[1,0]]}],"bends":[{"id":"x","between":["a","b"],"line":[[0,0],[1,0]],"angle":1,"radius":0.1}]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := part.Read(data)
		if err != nil {
			t.Skip("not a part")
		}
		b, err := flat.Develop(p, sheet(t, max(p.Thickness, 0.1)))
		if err != nil {
			var r *fault.Refusal
			if !errors.As(err, &r) || r.Kind == fault.Internal || r.Message == "" {
				t.Fatalf("Develop = %v, want a refusal with a message", err)
			}
			return
		}
		if !(b.Width > 0 && b.Height > 0 && b.Area() > 0 && b.Area() < 1e12) || len(b.Outline) == 0 {
			t.Fatalf("a blank of %v x %v mm, %v mm2", b.Width, b.Height, b.Area())
		}
		for _, face := range b.Faces {
			for _, g := range face.Solid {
				if !g.Convex() || !(g.Area() > 0) {
					t.Fatalf("face %s has the piece %v", face.ID, g)
				}
			}
		}
	})
}
