package parts

import (
	"encoding/json"
	"net/http"

	"brakeside/calc/part"
	"brakeside/server/change"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
)

// PartChanges shows two kept versions of a part side by side.
func (s *Section) PartChanges(w http.ResponseWriter, r *http.Request) error {
	after, err := s.Version(r, store.Parts)
	if err != nil {
		return err
	}
	before, err := s.Earlier(r, store.Parts)
	if err != nil {
		return err
	}
	view := shelf.Changes{
		Frame: s.Frame(r, "parts"), Number: after.Name, AfterTitle: after.Title,
		Before: s.VersionWords(before), After: s.VersionWords(after),
		BeforeAddress: partAddress(before.Seq), AfterAddress: partAddress(after.Seq),
	}
	if view.Lines, err = partLines(before.JSON, after.JSON); err != nil {
		return err
	}
	view.Blanks[0], _ = s.drawn(r, before.JSON)
	view.Blanks[1], _ = s.drawn(r, after.JSON)
	return s.Show(w, web.Page{Name: "owner/changes", View: view})
}

// understood is what a part file means where it does not say: the form of a part
// writes it down, and that is no change.
var understood = map[string]any{"units": "mm", "sizes": string(part.Outside), "over_90": string(part.Apex), "marked_face": "A"}

// partLines lists what differs between two part files.
func partLines(before, after []byte) ([]change.Line, error) {
	var whole [2][]byte
	for i, file := range [][]byte{before, after} {
		root, err := shelf.Decoded(file)
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
