package office

import (
	"fmt"
	"net/http"
	"strconv"

	"brakeside/calc/fault"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
)

type photosView struct {
	Frame          web.Frame
	Code, Job      string
	Part, Revision string
	Photos         []photoLine
}

type photoLine struct{ Address, Words string }

// PhotosPage shows the owner what was photographed at the brake, newest first.
func (s *Section) PhotosPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	t := kept.Traveler
	photos, err := s.Store.Photos(r.Context(), t.Code)
	if err != nil {
		return err
	}
	view := photosView{Frame: s.Frame(r, ""), Code: t.Code, Job: t.Job, Part: t.Part.Number, Revision: t.Part.Revision}
	for i := len(photos) - 1; i >= 0; i-- {
		p := photos[i]
		view.Photos = append(view.Photos, photoLine{fmt.Sprintf("%s/photos/%d", shelf.JobAddress(t.Code), p.Seq), s.photoWords(p)})
	}
	return s.Show(w, web.Page{Name: "owner/photos", View: view})
}

func (s *Section) photoWords(p store.Photo) string {
	words := fmt.Sprintf("piece %d, step %d, %s", p.Piece, p.Step, s.When(p.Received))
	if p.By == "" {
		return words
	}
	return words + " " + say.Typed(p.By)
}

// Photo sends one photo as it came in.
func (s *Section) Photo(w http.ResponseWriter, r *http.Request) error {
	number, err := strconv.ParseInt(web.Variable(r, "photo"), 10, 64)
	if err != nil {
		return fault.New(fault.Missing, "", "There is no such photo.")
	}
	picture, kind, err := s.Store.Picture(r.Context(), web.Variable(r, "code"), number)
	if err != nil {
		return err
	}
	return web.Write(w, web.Reply{Kind: kind, Body: picture})
}
