// Package engines uses the pages in the other engines that phones and desks carry:
// that of Firefox, and WebKit. Both are driven by the commands of the W3C's
// WebDriver, over what each of them speaks.
package engines_test

import (
	"os"
	"os/exec"
	"testing"
)

// installed gives the path of a program. Without it the test is skipped, but not
// where nothing may be.
func installed(t *testing.T, program, pack string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		missing(t, program, pack)
	}
	return path
}

// missing skips the test for want of a package, but not where nothing may be.
func missing(t *testing.T, program, pack string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is not installed, and this run must not skip its tests", program)
	}
	t.Skipf("%s is not installed: apt-get install %s", program, pack)
}

// start runs a program until the test ends.
func start(t *testing.T, program *exec.Cmd) {
	t.Helper()
	if err := program.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = program.Process.Kill() // it may have ended by itself
		_ = program.Wait()
	})
}
