package dxf

import (
	"strconv"
	"strings"
	"testing"
)

// pair is a group code and its value.
type pair struct {
	code  int
	value string
}

// readPairs splits the text, strictly: two lines a pair, codes in three places.
func readPairs(t testing.TB, dxf []byte) []pair {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(string(dxf), "\r\n"), "\r\n")
	if len(lines)%2 != 0 {
		t.Fatalf("%d lines do not pair", len(lines))
	}
	var pairs []pair
	for i := 0; i < len(lines); i += 2 {
		code, err := strconv.Atoi(strings.TrimSpace(lines[i]))
		if err != nil || len(lines[i]) != 3 {
			t.Fatalf("line %d is %q, want a group code", i+1, lines[i])
		}
		pairs = append(pairs, pair{code, lines[i+1]})
	}
	return pairs
}

// entity is what the reader makes of one: its places in the order x, y, and
// behind them radius and angles.
type entity struct {
	kind, layer string
	closed      bool
	figures     []float64
}

// read gives the entities of a drawing. It knows LINE, CIRCLE, ARC and
// POLYLINE with its VERTEX and SEQEND, and fails the test at anything else.
func read(t testing.TB, dxf []byte) []entity {
	t.Helper()
	var entities []entity
	open := false // inside a polyline
	for _, group := range entityGroups(t, readPairs(t, dxf)) {
		fields := map[int]string{}
		for _, p := range group[1:] {
			fields[p.code] = p.value
		}
		e := entity{kind: group[0].value, layer: fields[8]}
		if (e.kind == "VERTEX" || e.kind == "SEQEND") != open {
			t.Fatalf("%s inside a polyline: %v", e.kind, open)
		}
		switch e.kind {
		case "LINE":
			e.figures = numbers(t, fields, 10, 20, 11, 21)
		case "CIRCLE":
			e.figures = numbers(t, fields, 10, 20, 40)
		case "ARC":
			e.figures = numbers(t, fields, 10, 20, 40, 50, 51)
		case "POLYLINE":
			e.closed, open = fields[70] == "1", true
			if fields[66] != "1" {
				t.Fatal("a polyline does not say that its corners follow")
			}
		case "VERTEX":
			last := &entities[len(entities)-1]
			last.figures = append(last.figures, numbers(t, fields, 10, 20)...)
			continue
		case "SEQEND":
			open = false
			continue
		default:
			t.Fatalf("unknown entity %s", e.kind)
		}
		entities = append(entities, e)
	}
	if open {
		t.Fatal("a polyline has no end")
	}
	return entities
}

// entityGroups gives the pairs of each entity, the one that names it first.
func entityGroups(t testing.TB, pairs []pair) [][]pair {
	t.Helper()
	var groups [][]pair
	inside := false
	for i, p := range pairs {
		switch {
		case p == pair{2, "ENTITIES"} && i > 0 && pairs[i-1] == pair{0, "SECTION"}:
			inside = true
		case inside && p == pair{0, "ENDSEC"}:
			return groups
		case inside && p.code == 0:
			groups = append(groups, []pair{p})
		case inside:
			groups[len(groups)-1] = append(groups[len(groups)-1], p)
		}
	}
	t.Fatal("there is no section of entities with an end")
	return nil
}

func numbers(t testing.TB, fields map[int]string, codes ...int) []float64 {
	t.Helper()
	var values []float64
	for _, code := range codes {
		if !strings.Contains(fields[code], ".") {
			t.Fatalf("group %d is %q, want a number with a point", code, fields[code])
		}
		v, err := strconv.ParseFloat(fields[code], 64)
		if err != nil {
			t.Fatalf("group %d: %v", code, err)
		}
		values = append(values, v)
	}
	return values
}
