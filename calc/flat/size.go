package flat

import "brakeside/calc/unit"

// SizeBeyond is how far the size of a face runs past the tangent of a joint at
// its end, as the part file draws sizes: over the outer or the inner faces, to
// the apex or the outside tangent. Other is the joint at the other end of the
// size, -1 where the sheet ends. A part drawn as its blank has no sizes; outside
// ones are given. The tabs at the corners of a tray are always sized outside.
func (b *Blank) SizeBeyond(joint, other int) unit.MM {
	d := developer{part: b.Part, sheet: b.Sheet}
	end := func(i int) *signedBend {
		if i < 0 {
			return nil
		}
		j := b.Joints[i]
		return &signedBend{Bend: j.Bend, angle: j.Angle, hem: j.Hem}
	}
	beyond := d.takeOff(b.Joints[joint].Bend)
	if b.Part.Flat != nil || b.Part.Tray != nil && isTab(b.Joints[joint].ID) {
		return beyond
	}
	return beyond - d.added(end(joint), [2]*signedBend{end(joint), end(other)})
}
