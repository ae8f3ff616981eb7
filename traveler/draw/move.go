package draw

// Moved gives the marks moved to the right and down, as copies: how one drawing
// is placed on a page of another.
func Moved(marks []Mark, dx, dy float64) []Mark {
	out := make([]Mark, len(marks))
	for i, m := range marks {
		out[i] = moved(m, dx, dy)
	}
	return out
}

func moved(m Mark, dx, dy float64) Mark {
	switch m := m.(type) {
	case Line:
		m.X1, m.X2, m.Y1, m.Y2 = m.X1+dx, m.X2+dx, m.Y1+dy, m.Y2+dy
		return m
	case Strokes:
		lines := make([][2]Point, len(m.Lines))
		for i, l := range m.Lines {
			for k, p := range l {
				lines[i][k] = Point{p.X + dx, p.Y + dy}
			}
		}
		m.Lines = lines
		return m
	case Path:
		points := make([]Point, len(m.Points))
		for i, p := range m.Points {
			points[i] = Point{p.X + dx, p.Y + dy}
		}
		m.Points = points
		return m
	case Arc:
		m.X, m.Y = m.X+dx, m.Y+dy
		return m
	case Text:
		m.X, m.Y = m.X+dx, m.Y+dy
		return m
	case Cells:
		m.X, m.Y = m.X+dx, m.Y+dy
		return m
	case Link:
		m.X, m.Y = m.X+dx, m.Y+dy
		return m
	case Bookmark:
		m.Y += dy
		return m
	}
	return m
}
