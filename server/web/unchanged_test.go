package web

import (
	"errors"
	"testing"
)

func TestUnchanged(t *testing.T) {
	var u Unchanged[string, int]
	made := 0
	fresh := func() (int, error) { made++; return made, nil }
	for _, c := range []struct {
		changes int64
		key     string
		want    int
	}{{0, "a", 1}, {0, "a", 1}, {0, "b", 2}, {0, "a", 1}, {1, "a", 3}, {1, "b", 4}, {1, "a", 3}} {
		if got, err := u.Get(c.changes, c.key, fresh); got != c.want || err != nil {
			t.Errorf("after %d changes %q = %d, %v; want %d", c.changes, c.key, got, err, c.want)
		}
	}
	failing := errors.New("the disk is gone")
	if _, err := u.Get(1, "c", func() (int, error) { return 0, failing }); !errors.Is(err, failing) {
		t.Errorf("Get = %v, want the error", err)
	}
	if got, _ := u.Get(1, "c", fresh); got != 5 {
		t.Errorf("after an error Get = %d, want it made anew", got)
	}
	for n := range 3 * mostUnchanged {
		_, _ = u.Get(1, string(rune(n)), fresh)
		if len(u.values) > mostUnchanged {
			t.Fatalf("%d values are held, want at most %d", len(u.values), mostUnchanged)
		}
	}
}
