package web

import (
	"context"
	"errors"
	"net/http"
	"time"

	"brakeside/calc/fault"
	"brakeside/server/admit"
)

// Party is who is counted together with the one who asks.
func Party(r *http.Request) string { return admit.Party(AddressOf(r)) }

// Admitted words the refusal of a line.
func Admitted(err error) error {
	if errors.Is(err, admit.Full) {
		return &slowDown{time.Second, fault.New(fault.Busy, "", "Too much is being worked on just now. Wait a second and try again.")}
	}
	return err
}

// Enter is admit.Line.Enter with a refusal in words.
func Enter(ctx context.Context, line *admit.Line, party string) (leave func(), err error) {
	leave, err = line.Enter(ctx, party)
	return leave, Admitted(err)
}

// TooFast refuses one who adds more to the log than hands can do. Nothing is lost
// that a phone keeps: it sends on when the time is over.
func TooFast(wait time.Duration) error {
	return &slowDown{wait, fault.New(fault.Busy, "",
		"More comes from here than hands can do. What is kept on the phone is sent on by and by.")}
}
