package clash

import "testing"

// Joined are the two faces of the bend that is made, whichever is named first, and
// no others.
func TestJoined(t *testing.T) {
	blank := drawn(t, `"profile":{"length":300,"legs":[40,60,80,40],"bends":[90,90,90]}`)
	bench := put(t, blank, "b2", "p1")
	for a := range blank.Faces {
		for c := range blank.Faces {
			x, y := blank.Faces[a].ID, blank.Faces[c].ID
			want := x == "p1" && y == "p2" || x == "p2" && y == "p1"
			if got := bench.joined(a, c); got != want {
				t.Errorf("joined(%s, %s) = %v, want %v", x, y, got, want)
			}
		}
	}
}
