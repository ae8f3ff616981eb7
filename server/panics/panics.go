// Package panics turns a panic into an error, so that a mistake of the program
// costs what was being done and not the service.
package panics

import (
	"fmt"
	"runtime/debug"
)

// Caught does something and gives its error. A panic in it is an error too, with
// where it happened, for the log.
func Caught(do func() error) (err error) {
	defer func() {
		if cause := recover(); cause != nil {
			err = fmt.Errorf("panic: %v\n%s", cause, debug.Stack())
		}
	}()
	return do()
}
