package brake

import (
	"math"
	"strconv"

	"brakeside/calc/notation"
	"brakeside/calc/unit"
)

// Changed is the brake with a change made to its file, which is read anew. It is
// refused where the change does not belong to the file, or what comes of it is no
// brake.
func (b *Brake) Changed(change notation.Patch) (*Brake, error) {
	file, err := b.source.places.Changed(change)
	if err != nil {
		return nil, err
	}
	return Read(file)
}

// figure writes a length as the brake's file does.
func (b *Brake) figure(length unit.MM) float64 {
	if b.source.inch {
		length /= unit.PerInch
	}
	return math.Round(float64(length)*1e4) / 1e4
}

// AddBar is the change that puts one more bar in one piece on the shelf; its
// section must be set.
func (b *Brake) AddBar(bar Bar) notation.Patch {
	section := [][2]float64{}
	for _, p := range bar.Section {
		section = append(section, [2]float64{b.figure(unit.MM(p.X)), b.figure(unit.MM(p.Y))})
	}
	value := map[string]any{
		"name": bar.Name, "kind": bar.Kind, "depth": b.figure(bar.Depth), "height": b.figure(bar.Height),
		"section": section, "length": b.figure(bar.Length), "rating_t": b.figure(bar.Rating),
	}
	if bar.NoseRadius > 0 {
		value["nose_radius"] = b.figure(bar.NoseRadius)
	}
	if bar.MaxAngle > 0 {
		value["max_angle"] = float64(bar.MaxAngle)
	}
	return notation.Patch{{Op: notation.Add, Path: "/bars/-", Value: value}}
}

// AddFinger is the change that puts one more finger beside those of a bar; none
// where the brake has no such bar.
func (b *Brake) AddFinger(bar string, width unit.MM) notation.Patch {
	for i, name := range b.source.bars {
		if name == bar {
			return notation.Patch{{Op: notation.Add, Path: "/bars/" + strconv.Itoa(i) + "/widths/-", Value: b.figure(width)}}
		}
	}
	return nil
}

// SetSlimFace is the change that gives the leaf another edge without its extension.
func (b *Brake) SetSlimFace(face unit.MM) notation.Patch {
	return notation.Patch{{Op: notation.Replace, Path: "/leaf/slim_face", Value: b.figure(face)}}
}
