package main

import (
	"regexp"
	"runtime/debug"
	"testing"
)

func TestVersion(t *testing.T) {
	o := runs(t, "version")
	lines := regexp.MustCompile(`^brakeside \S.*\ngo1\.\S+ \w+/\w+\nSQLite 3\.\d+\.\d+\n$`)
	if o.code != exitFine || !lines.MatchString(o.out) {
		t.Errorf("version ends with %d and says %q", o.code, o.out)
	}
	if o := runs(t, "version", "more"); o.code != exitBadInput {
		t.Errorf("version of something ends with %d, want %d", o.code, exitBadInput)
	}
}

func TestCommitOf(t *testing.T) {
	const hash = "0123456789abcdef0123456789abcdef01234567"
	told := func(settings ...debug.BuildSetting) *debug.BuildInfo { return &debug.BuildInfo{Settings: settings} }
	for _, c := range []struct {
		built *debug.BuildInfo
		want  string
	}{
		{nil, "of an unknown commit"},
		{told(), "of an unknown commit"},
		{told(debug.BuildSetting{Key: "vcs.revision", Value: hash}, debug.BuildSetting{Key: "vcs.modified", Value: "false"}), hash},
		{told(debug.BuildSetting{Key: "vcs.modified", Value: "true"}, debug.BuildSetting{Key: "vcs.revision", Value: hash}), hash + "-changed"},
	} {
		if got := commitOf(c.built); got != c.want {
			t.Errorf("commitOf(%+v) = %q, want %q", c.built, got, c.want)
		}
	}
}
