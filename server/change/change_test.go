package change

import (
	"fmt"
	"strings"
	"testing"
)

func TestBetween(t *testing.T) {
	cases := []struct{ name, before, after, want string }{
		{"equal in another layout", `{"a":1,"b":[1,2]}`, `{ "b": [1.0, 2], "a": 1e0 }`, ""},
		{"a size", `{"profile":{"legs":[34,60]}}`, `{"profile":{"legs":[34,62]}}`, "profile.legs: 34, 60 > 34, 62"},
		{"added and taken away", `{"k":0.4}`, `{"grain":"x"}`, "grain:  > x; k: 0.4 > "},
		{"a bar more in front", `{"bars":[{"name":"wide","rating_t":1.6}]}`, `{"bars":[{"name":"narrow","rating_t":1},{"name":"wide","rating_t":1.5}]}`,
			"bars[narrow].name:  > narrow; bars[narrow].rating_t:  > 1; bars[wide].rating_t: 1.6 > 1.5"},
		{"walls by their place", `{"tray":{"walls":{"left":[{"leg":35}]}}}`, `{"tray":{"walls":{"left":[{"leg":40},{"leg":12}]}}}`,
			"tray.walls.left[0].leg: 35 > 40; tray.walls.left[1].leg:  > 12"},
		{"corners of a section", `{"section":[[0,0],[1,2]]}`, `{"section":[[0,0],[1,3]]}`, "section: (0, 0), (1, 2) > (0, 0), (1, 3)"},
		{"yes, no and nothing", `{"a":true,"b":null}`, `{"a":false,"b":"x"}`, "a: yes > no; b: none > x"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			lines, err := Between([]byte(c.before), []byte(c.after))
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, l := range lines {
				got = append(got, fmt.Sprintf("%s: %s > %s", l.What, l.Before, l.After))
			}
			if text := strings.Join(got, "; "); text != c.want {
				t.Errorf("Between = %q, want %q", text, c.want)
			}
		})
	}
}

func TestBetweenRefuses(t *testing.T) {
	for _, c := range [][2]string{{"{", "{}"}, {"{}", "x"}} {
		if _, err := Between([]byte(c[0]), []byte(c[1])); err == nil {
			t.Errorf("Between(%q, %q) = nil, want an error", c[0], c[1])
		}
	}
}
