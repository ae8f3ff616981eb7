package planning

import (
	"context"

	"brakeside/traveler"
)

// Folding draws how the blank of a traveler becomes the part. Its order is that of the
// traveler; the shape is that of the part as it is kept, which never changes once a
// sheet may be issued from it. Nothing is planned.
func (p *Plans) Folding(ctx context.Context, t *traveler.Traveler) ([]traveler.Frame, error) {
	kept, err := p.store.PartRevision(ctx, t.Part.Number, t.Part.Revision)
	if err != nil {
		return nil, err
	}
	draft, err := p.Draft(ctx, kept.JSON)
	if err != nil {
		return nil, err
	}
	return traveler.Folding(t, draft.Blank)
}
