package shelf

import (
	"context"
	"fmt"
	"net/url"
	"strconv"

	"brakeside/server/change"
	"brakeside/server/store"
)

// Later is what somebody kept while a form was open that began from an earlier version.
type Later struct {
	Seq           int64
	When, Address string
	Lines         []change.Line // what differs in the form: before, as the other kept it
}

// placesOf are where the versions of a shelf are shown.
var placesOf = map[store.Shelf]string{store.Parts: "/parts/", store.Brakes: "/brakes/"}

// Later tells of a version that was kept since the one that a form began from, the
// field from of the form; nil where there is none, or the form began from none. What
// is typed is given as a file.
func (s *Shelf) Later(ctx context.Context, on store.Shelf, form url.Values, typed []byte) (*Later, error) {
	seq, err := strconv.ParseInt(form.Get("from"), 10, 64)
	if err != nil || form.Get("copy") != "" {
		return nil, nil
	}
	base, err := s.Store.Version(ctx, on, seq)
	if err != nil {
		return nil, err
	}
	history, err := s.Store.History(ctx, on, base.Name)
	if err != nil || len(history) == 0 || history[0].Seq <= seq {
		return nil, err
	}
	newest := history[0]
	lines, err := change.Between(newest.JSON, typed)
	if err != nil {
		return nil, err
	}
	return &Later{newest.Seq, s.When(newest.Created), fmt.Sprint(placesOf[on], newest.Seq), lines}, nil
}
