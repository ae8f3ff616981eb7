package fitting

// HeavierSwings reports whether more of the part swings than is clamped, of an
// operation clamped on one side.
func (s *Station) HeavierSwings(operation, side int) bool { return s.heavier[operation][side] }
