package main

import (
	"context"
	"flag"
	"fmt"
	"runtime"
	"runtime/debug"

	"brakeside/server/store"
)

// version tells which program this is: what to say when something is wrong with it.
func version(_ context.Context, args []string, s streams) error {
	if _, err := arguments(flag.NewFlagSet("version", flag.ContinueOnError), args); err != nil {
		return err
	}
	built, _ := debug.ReadBuildInfo()
	_, err := fmt.Fprintf(s.out, "brakeside %s\n%s %s/%s\nSQLite %s\n", commitOf(built),
		runtime.Version(), runtime.GOOS, runtime.GOARCH, store.SQLiteVersion())
	return err
}

// commitOf says which commit a program was built of, with a mark where files were
// changed since.
func commitOf(built *debug.BuildInfo) string {
	commit, changed := "of an unknown commit", ""
	if built == nil {
		return commit
	}
	for _, setting := range built.Settings {
		switch {
		case setting.Key == "vcs.revision":
			commit = setting.Value
		case setting.Key == "vcs.modified" && setting.Value == "true":
			changed = "-changed"
		}
	}
	return commit + changed
}
