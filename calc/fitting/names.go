package fitting

import "brakeside/calc/brake"

// BarName names a bar in reasons.
func BarName(b *brake.Bar) string {
	if b.Kind == brake.Segments {
		return b.Name
	}
	return b.Name + " bar"
}

// LeafName names the leaf in reasons.
func LeafName(form brake.Slimness) string {
	if form == brake.Slim {
		return "slim leaf"
	}
	return "full leaf"
}
