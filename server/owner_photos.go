package server

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/server/store"
)

type photosView struct {
	Frame          frameView
	Code, Job      string
	Part, Revision string
	Photos         []photoLine
}

type photoLine struct{ Address, Words string }

// photosPage shows the owner what was photographed at the brake, newest first.
func (s *Server) photosPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.store.TravelerByCode(r.Context(), variable(r, "code"))
	if err != nil {
		return err
	}
	t := kept.Traveler
	photos, err := s.store.Photos(r.Context(), t.Code)
	if err != nil {
		return err
	}
	view := photosView{Frame: s.frame(r, ""), Code: t.Code, Job: t.Job, Part: t.Part.Number, Revision: t.Part.Revision}
	for i := len(photos) - 1; i >= 0; i-- {
		p := photos[i]
		view.Photos = append(view.Photos, photoLine{fmt.Sprintf("%s/photos/%d", jobAddress(t.Code), p.Seq), s.photoWords(p)})
	}
	return s.show(w, page{0, "owner/photos", view})
}

func (s *Server) photoWords(p store.Photo) string {
	words := fmt.Sprintf("piece %d, step %d, %s", p.Piece, p.Step, s.when(p.Received))
	return strings.TrimSpace(words + " " + p.By)
}

// photo sends one photo as it came in.
func (s *Server) photo(w http.ResponseWriter, r *http.Request) error {
	number, err := strconv.ParseInt(variable(r, "photo"), 10, 64)
	if err != nil {
		return fault.New(fault.Missing, "", "There is no such photo.")
	}
	picture, kind, err := s.store.Picture(r.Context(), variable(r, "code"), number)
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "private, max-age=604800, immutable")
	return write(w, reply{kind: kind, body: picture})
}
