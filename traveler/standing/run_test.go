package standing

import (
	"slices"
	"testing"
)

func TestSample(t *testing.T) {
	cases := []struct {
		name            string
		quantity, every int
		scrapped        []int
		want            []int
	}{
		{"every piece", 4, 0, nil, []int{1, 2, 3, 4}},
		{"every piece, said", 4, 1, nil, []int{1, 2, 3, 4}},
		{"every piece but the scrapped", 4, 1, []int{2}, []int{1, 3, 4}},
		{"first, every tenth, last", 25, 10, nil, []int{1, 10, 20, 25}},
		{"the last one is a tenth", 20, 10, nil, []int{1, 10, 20}},
		{"fewer than the distance", 7, 10, nil, []int{1, 7}},
		{"one piece", 1, 10, nil, []int{1}},
		{"a scrapped tenth leaves its turn", 25, 10, []int{10, 11}, []int{1, 12, 20, 25}},
		{"a scrapped first leaves its turn", 12, 5, []int{1, 2}, []int{3, 5, 10, 12}},
		{"a scrapped last leaves its turn", 12, 5, []int{12, 11}, []int{1, 5, 10}},
		{"none left", 2, 2, []int{1, 2}, nil},
		{"a distance below zero", 3, -4, nil, []int{1, 2, 3}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := Sample(c.quantity, c.every, func(piece int) bool { return slices.Contains(c.scrapped, piece) }); !slices.Equal(got, c.want) {
				t.Errorf("Sample(%d, %d, %v) = %v, want %v", c.quantity, c.every, c.scrapped, got, c.want)
			}
		})
	}
}
