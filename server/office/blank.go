package office

import (
	"net/http"

	"brakeside/server/shelf"
	"brakeside/server/web"
)

// Thumb shows the finished part of a job in a list.
func (s *Section) Thumb(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	return shelf.SendThumb(w, kept.Traveler.Finished)
}

// FoldPage sends the frames of the part of a job that is folded.
func (s *Section) FoldPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	frames, err := s.plans.Folding(r.Context(), kept.Traveler)
	if err != nil {
		return err
	}
	return shelf.SendFolding(w, s.Site, kept.Traveler, frames)
}

// Finished shows the finished part of a job.
func (s *Section) Finished(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	return shelf.SendFinished(w, kept.Traveler.Finished)
}

// BlankFile gives the blank of a job as a drawing, as it was when the sheet was
// issued: whatever has changed since of part, brake or figures, it fits the sheet.
func (s *Section) BlankFile(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	t := kept.Traveler
	name := fileName(t.Job + "-" + t.Part.Number + "-blank")
	return s.SendBlank(w, r, name, t.Blank, t.Part)
}
