package draw

// penLooks holds what each pen looks like. No stroke is thinner than 0.35 mm,
// so that a copy of a greasy sheet still shows it (common practice, no source).
//
// Dashes follow the proportions of the line types of ISO 128-2 (from memory):
// a dash is 12 or 24 weights long, a gap 3 weights. The lengths below are one
// weight shorter for a dash and one weight longer for a gap, because round caps
// give that weight back.
var penLooks = map[Pen]struct {
	name   string
	weight float64
	dashes []float64
}{
	Outline:   {"outline", 0.5, nil},
	Heavy:     {"heavy", 0.9, nil},
	Thin:      {"thin", 0.35, nil},
	Hidden:    {"hidden", 0.35, []float64{3.85, 1.4}},
	BendUp:    {"bend-up", 0.35, []float64{8.05, 1.4, 0.1, 1.4}},
	BendDown:  {"bend-down", 0.35, []float64{8.05, 1.4}},
	NoseLine:  {"nose-line", 0.6, nil},
	Grid:      {"grid", 0.35, nil},
	CutMark:   {"cut-mark", 0.35, nil},
	ChartLine: {"chart-line", 0.6, nil},
	ChartRule: {"chart-rule", 0.35, nil},
}

// Name is the pen in lower case with dashes between words, as writers that
// have names for strokes call it; empty for NoPen and for a number that is no
// pen.
func (p Pen) Name() string { return penLooks[p].name }

// Weight is the width of the stroke in millimetres, 0 for NoPen.
func (p Pen) Weight() float64 { return penLooks[p].weight }

// Dashes lists strokes and gaps in turn, in millimetres; it is empty for an
// unbroken line. All strokes have round caps, which lengthen each dash by one
// weight. The caller must not change the list.
func (p Pen) Dashes() []float64 { return penLooks[p].dashes }

// Tone is the grey that a fill lays down: 0 is black, 255 white. The answer is
// false for fills that lay down no even tone.
func (f Fill) Tone() (level uint8, even bool) {
	switch f {
	case Black:
		return 0, true
	case Grey:
		return 153, true
	case Light:
		return 217, true
	case Paper:
		return 255, true
	}
	return 0, false
}

// Lined reports whether the fill is made of lines; see Hatch.
func (f Fill) Lined() bool { return f == Hatched || f == Striped }
