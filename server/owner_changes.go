package server

import (
	"encoding/json"
	"net/http"
	"strconv"

	"brakeside/calc/fault"
	"brakeside/calc/part"
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
	if view.Lines, err = partLines(before.JSON, after.JSON); err != nil {
		return err
	}
	view.Blanks[0], _ = s.drawn(r, before.JSON)
	view.Blanks[1], _ = s.drawn(r, after.JSON)
	return s.show(w, page{0, "owner/changes", view})
}

// understood is what a part file means where it does not say: the form of a part
// writes it down, and that is no change.
var understood = map[string]any{"units": "mm", "sizes": string(part.Outside), "over_90": string(part.Apex), "marked_face": "A"}

// partLines lists what differs between two part files.
func partLines(before, after []byte) ([]change.Line, error) {
	var whole [2][]byte
	for i, file := range [][]byte{before, after} {
		root, err := decoded(file)
		if err != nil {
			return nil, err
		}
		for name, meaning := range understood {
			if _, said := root[name]; !said {
				root[name] = meaning
			}
		}
		if whole[i], err = json.Marshal(root); err != nil {
			return nil, err
		}
	}
	return change.Between(whole[0], whole[1])
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
