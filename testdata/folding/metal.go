// Package folding draws bent metal as the outside solid modeller takes it, and
// tells what its recorded answers are of. It is for tests only; scripts and answers
// lie beside it.
package folding

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"math"
	"os"
	"testing"

	"brakeside/calc/flat"
	"brakeside/calc/geom"
)

// Sector is bent metal: around the origin of its frame, from x turned towards y,
// along z.
type Sector struct {
	Inner  float64    `json:"inner"`
	Outer  float64    `json:"outer"`
	Angle  float64    `json:"angle"` // in radians
	Chords int        `json:"chords"`
	Length float64    `json:"length"`
	X      [3]float64 `json:"x"`
	Y      [3]float64 `json:"y"`
	Z      [3]float64 `json:"z"`
	At     [3]float64 `json:"at"`
}

// Chords is in how many chords the modeller draws an arc.
const Chords = 64

// Figures are the coordinates of a place or a direction.
func Figures(p geom.Point3) [3]float64 { return [3]float64{Tidy(p.X), Tidy(p.Y), Tidy(p.Z)} }

// Tidy keeps what may differ between machines out of the digest.
func Tidy(v float64) float64 { return math.Round(v*1e7)/1e7 + 0 }

// Corners are the places of a body.
func Corners(body []geom.Point3) [][3]float64 {
	var out [][3]float64
	for _, p := range body {
		out = append(out, Figures(p))
	}
	return out
}

// Bent is the sector of a bend, seen from the face that stays: the axis lies the
// inside radius over the face that is inside. Across points away from what stays.
func Bent(j flat.Joint, across geom.Point2, stays geom.Frame) Sector {
	return sector(j, across, stays, float64(j.Bend.Radius), math.Abs(j.Angle.Rad()))
}

// Partly is the sector of a bend that is made in part: its neutral line is as long as
// in the end.
func Partly(j flat.Joint, across geom.Point2, stays geom.Frame, share float64) Sector {
	angle := math.Abs(j.Angle.Rad()) * share
	return sector(j, across, stays, 2*j.Half()/angle-j.Bend.K*float64(j.Bend.Thickness), angle)
}

func sector(j flat.Joint, across geom.Point2, stays geom.Frame, radius, angle float64) Sector {
	thick := float64(j.Bend.Thickness)
	from, height := geom.Point3{Z: -1}, thick+radius
	if !j.Up() {
		from, height = geom.Point3{Z: 1}, -radius
	}
	to := geom.Point3{X: across.X, Y: across.Y}
	along := from.Cross(to)
	begin := j.Line[0]
	if line := j.Line[1].Sub(begin); along.Dot(geom.Point3{X: line.X, Y: line.Y}) < 0 {
		begin = j.Line[1]
	}
	begin = begin.Sub(across.Times(j.Half()))
	return Sector{
		Inner: Tidy(radius), Outer: Tidy(radius + thick), Angle: Tidy(angle), Chords: Chords, Length: Tidy(float64(j.Length())),
		X: Figures(stays.Turn(from)), Y: Figures(stays.Turn(to)), Z: Figures(stays.Turn(along)),
		At: Figures(stays.Place(geom.Point3{X: begin.X, Y: begin.Y, Z: height})),
	}
}

// Digest tells by a few letters what recorded answers are of.
func Digest(t testing.TB, cases any) string {
	t.Helper()
	data, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:8])
}

// Write writes what the modeller is asked about.
func Write(t testing.TB, name string, cases any) {
	t.Helper()
	data, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
}
