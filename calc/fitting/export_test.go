package fitting

// HeavierSwings reports whether more of the part swings than is clamped, of an
// operation clamped on one side.
func (s *Station) HeavierSwings(operation, side int) bool { return s.heavier[operation][side] }

// Break leaves a station in which every question is a mistake of the program.
func (s *Station) Break() { s.benches = nil }
