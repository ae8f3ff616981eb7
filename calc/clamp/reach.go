package clamp

import (
	"fmt"

	"brakeside/calc/brake"
	"brakeside/calc/unit"
)

// TooShort says that a bar in one piece does not reach along a bend, or nothing;
// so much of the bend may stick out past either end of it.
func TooShort(bar brake.Bar, bend, unsupported unit.MM) string {
	if bar.Kind == brake.Segments || bar.Length >= bend-2*unsupported {
		return ""
	}
	return fmt.Sprintf("too short: %s mm long, for a bend of %s", bar.Length.Text(1), bend.Text(1))
}
