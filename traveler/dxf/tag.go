package dxf

import (
	"bytes"
	"math"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/geom"
)

// tag is one group code and its value.
type tag struct {
	code  int
	value string
	row   int // of the code
}

// scan cuts a file into pairs.
type scan struct {
	rest []byte
	row  int
	next *tag // looked at and not yet taken
	err  error
}

// line gives the next line of the file.
func (s *scan) line() (string, bool) {
	if len(s.rest) == 0 {
		return "", false
	}
	text, rest, _ := bytes.Cut(s.rest, []byte("\n"))
	s.rest, s.row = rest, s.row+1
	return strings.ToValidUTF8(strings.TrimSpace(string(text)), "?"), true
}

// invalid refuses a row of the file.
func invalid(row int, message string) error {
	return &fault.Refusal{Kind: fault.Invalid, Message: message, Line: row, Column: 1}
}

// peek gives the next tag without taking it; false at the end.
func (s *scan) peek() (tag, bool) {
	if s.next != nil {
		return *s.next, true
	}
	for s.err == nil {
		code, ok := s.line()
		if !ok || code == "" && len(bytes.TrimSpace(s.rest)) == 0 {
			return tag{}, false
		}
		row := s.row
		number, err := strconv.Atoi(code)
		if err != nil {
			s.err = invalid(row, "a group code, a whole number, was expected; this is no DXF drawing in text form")
			return tag{}, false
		}
		value, ok := s.line()
		if !ok {
			s.err = invalid(row, "the drawing ends in the middle of a pair; it was cut off")
			return tag{}, false
		}
		if number != 999 { // a comment
			s.next = &tag{number, value, row}
			return *s.next, true
		}
	}
	return tag{}, false
}

func (s *scan) take() (tag, bool) {
	p, ok := s.peek()
	s.next = nil
	return p, ok
}

// tags are the values of one entity, in the order of the file.
type tags []tag

// group reads the pairs up to the next entity.
func (s *scan) group() tags {
	var out tags
	for {
		p, ok := s.peek()
		if !ok || p.code == 0 {
			return out
		}
		s.take()
		out = append(out, p)
	}
}

// text gives the first value of a code.
func (g tags) text(code int) string {
	for _, p := range g {
		if p.code == code {
			return p.value
		}
	}
	return ""
}

// number gives the first value of a code as a number, 0 when there is none.
func (s *scan) number(g tags, code int) float64 {
	for _, p := range g {
		if p.code == code {
			return s.parse(p)
		}
	}
	return 0
}

// farthest is how far from the origin a drawing may lie, in its own units.
const farthest = 1e7

func (s *scan) parse(p tag) float64 {
	v, err := strconv.ParseFloat(p.value, 64)
	if (err != nil || math.IsNaN(v) || math.Abs(v) > farthest) && s.err == nil {
		s.err = invalid(p.row+1, strconv.Quote(p.value)+" is no number that a drawing of a blank can hold")
	}
	return v
}

// flag reports whether a bit of the flags, code 70, is set.
func (g tags) flag(bit int) bool {
	flags, _ := strconv.Atoi(g.text(70))
	return flags&bit != 0
}

// numberOr gives the first value of a code as a number, another when there is none.
func (s *scan) numberOr(g tags, code int, other float64) float64 {
	if g.text(code) == "" {
		return other
	}
	return s.number(g, code)
}

// point gives a place, in units of the file, of the codes of its x and y.
func (s *scan) point(g tags, code int) geom.Point2 {
	return geom.Point2{X: s.number(g, code), Y: s.number(g, code+10)}
}

// all gives all places whose x has that code.
func (s *scan) all(g tags, code int) (out []geom.Point2) {
	for _, p := range g {
		switch {
		case p.code == code:
			out = append(out, geom.Point2{X: s.parse(p)})
		case p.code == code+10 && len(out) > 0:
			out[len(out)-1].Y = s.parse(p)
		}
	}
	return out
}

// numbers gives all values of a code.
func (s *scan) numbers(g tags, code int) (out []float64) {
	for _, p := range g {
		if p.code == code {
			out = append(out, s.parse(p))
		}
	}
	return out
}
