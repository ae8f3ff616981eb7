package server

import (
	"net/http"
	"strconv"

	"brakeside/calc/fault"
	"brakeside/server/change"
	"brakeside/server/store"
)

// partChanges shows two kept versions of a part side by side.
func (s *Server) partChanges(w http.ResponseWriter, r *http.Request) error {
	after, err := s.version(r, store.Parts)
	if err != nil {
		return err
	}
	before, err := s.earlier(r, store.Parts)
	if err != nil {
		return err
	}
	view := changesView{
		Frame: s.frame(r, "parts"), Number: after.Name, AfterTitle: after.Title,
		Before: s.versionWords(before), After: s.versionWords(after), BeforeAddress: partAddress(before.Seq), AfterAddress: partAddress(after.Seq),
	}
	if view.Lines, err = change.Between(before.JSON, after.JSON); err != nil {
		return err
	}
	view.Blanks[0], _ = s.drawn(r, before.JSON)
	view.Blanks[1], _ = s.drawn(r, after.JSON)
	return s.show(w, page{0, "owner/changes", view})
}

// earlier finds the version that the address compares with.
func (s *Server) earlier(r *http.Request, shelf store.Shelf) (store.Revision, error) {
	seq, err := strconv.ParseInt(r.URL.Query().Get("from"), 10, 64)
	if err != nil {
		return store.Revision{}, fault.New(fault.Missing, "", "Say which version to compare with.")
	}
	return s.store.Version(r.Context(), shelf, seq)
}

func (s *Server) versionWords(v store.Revision) string {
	words := "kept " + s.when(v.Created)
	if v.Revision != "" {
		words = "rev " + v.Revision + ", " + words
	}
	return words
}
