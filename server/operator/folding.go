package operator

import (
	"net/http"

	"brakeside/server/shelf"
)

// FoldPage sends the frames of the part that is folded, when somebody asks to see it.
func (s *Section) FoldPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheet(r)
	if err != nil {
		return err
	}
	frames, err := s.plans.Folding(r.Context(), kept.Traveler)
	if err != nil {
		return err
	}
	return shelf.SendFolding(w, s.Site, kept.Traveler, frames)
}

// Finished shows the finished part, small: what stands there until somebody asks to
// see it folded, and where scripts are off.
func (s *Section) Finished(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheet(r)
	if err != nil {
		return err
	}
	return shelf.SendFinished(w, kept.Traveler.Finished)
}
