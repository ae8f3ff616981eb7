package draw

import (
	"fmt"
	"math"
	"net/url"
	"strings"
)

// Reach is how far from the origin a mark may lie, in millimetres: a hundred
// metres, more than any blank. It keeps a wrong figure from filling the memory
// with hatching.
const Reach = 100_000

// Check reports what no writer could put on paper: a page without size, a
// place that is no ordinary number or out of Reach, a pen or a fill that is
// none, cells that are not square, an address that is not of the web. Such a
// page is a mistake of the program, so the error is a plain one.
func (p *Page) Check() error {
	if !p.Finite() {
		return fmt.Errorf("page %q: a coordinate is not a number", p.Title)
	}
	if !(p.Width > 0 && p.Height > 0 && p.Width <= Reach && p.Height <= Reach) {
		return fmt.Errorf("page %q: the size %g x %g mm is not between 0 and %d", p.Title, p.Width, p.Height, Reach)
	}
	for i, m := range p.Marks {
		if err := checkMark(m); err != nil {
			return fmt.Errorf("page %q, mark %d: %w", p.Title, i, err)
		}
	}
	return nil
}

func checkMark(m Mark) error {
	switch m := m.(type) {
	case Line:
		return firstError(near(m.X1, m.Y1, m.X2, m.Y2), m.Pen.check())
	case Strokes:
		for _, l := range m.Lines {
			if err := near(l[0].X, l[0].Y, l[1].X, l[1].Y); err != nil {
				return err
			}
		}
		return m.Pen.check()
	case Path:
		return checkPath(m)
	case Arc:
		return firstError(near(m.X, m.Y, m.Radius), m.Pen.check(), m.Fill.check(),
			demand(m.Radius >= 0, "an arc of radius %g", m.Radius),
			demand(m.Fill == NoFill || m.Whole(), "an open arc is filled"))
	case Text:
		return firstError(near(m.X, m.Y, m.Size, m.MaxWidth),
			demand(m.Size > 0, "the size of the type is %g", m.Size),
			demand(m.MaxWidth >= 0, "a width of %g to fit in", m.MaxWidth),
			demand(m.Anchor >= Left && m.Anchor <= Right, "there is no anchor %d", m.Anchor),
			demand(m.Face >= Regular && m.Face <= Mono, "there is no face %d", m.Face))
	case Cells:
		return firstError(near(m.X, m.Y, m.Side), demand(m.Side > 0, "cells of side %g", m.Side),
			demand(m.Count > 0 && len(m.Dark) == m.Count*m.Count, "%d cells do not make %d x %d", len(m.Dark), m.Count, m.Count))
	case Link:
		return firstError(near(m.X, m.Y, m.Width, m.Height), checkAddress(m.Address))
	case Bookmark:
		return near(m.Y)
	}
	return fmt.Errorf("there is no mark of the kind %T", m)
}

func checkPath(p Path) error {
	for _, at := range p.Points {
		if err := near(at.X, at.Y); err != nil {
			return err
		}
	}
	return firstError(p.Pen.check(), p.Fill.check(), demand(p.Fill == NoFill || p.Closed, "an open path is filled"))
}

// checkAddress lets pass plain web addresses only: anything else could run as
// a program in a reader, or could not be written down.
func checkAddress(address string) error {
	parsed, err := url.Parse(address)
	if err != nil {
		return fmt.Errorf("link: %w", err)
	}
	for _, r := range address {
		if r <= ' ' || r > '~' {
			return fmt.Errorf("link %q: only printable ASCII can be written", address)
		}
	}
	scheme := strings.ToLower(parsed.Scheme)
	return demand((scheme == "http" || scheme == "https") && parsed.Host != "", "link %q: not an http or https address", address)
}

func (p Pen) check() error {
	return demand(p == NoPen || p.Name() != "", "there is no pen %d", p)
}

func (f Fill) check() error {
	return demand(f >= NoFill && f <= Striped, "there is no fill %d", f)
}

func near(values ...float64) error {
	for _, v := range values {
		if !(math.Abs(v) <= Reach) {
			return fmt.Errorf("%g mm is out of reach", v)
		}
	}
	return nil
}

func demand(met bool, format string, values ...any) error {
	if met {
		return nil
	}
	return fmt.Errorf(format, values...)
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
