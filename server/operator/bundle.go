package operator

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net/http"

	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

// bundleView is all that a phone needs of a traveler without a network, besides the
// table of its readings: the steps as the page shows them, and the words of the
// rules. It stays the same as long as the traveler does.
type bundleView struct {
	Steps []stepView
}

// BundlePage sends the bundle of a traveler.
func (s *Section) BundlePage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheet(r)
	if err != nil {
		return err
	}
	var view bundleView
	for _, step := range kept.Traveler.Steps {
		one, err := s.step(r, kept, step)
		if err != nil {
			return err
		}
		view.Steps = append(view.Steps, one)
	}
	return s.Show(w, web.Page{Name: "operator/bundle", View: view})
}

// bundleVersion changes with what a bundle says: with the traveler, with the pages
// of this version of the service, and with the units of the shop.
func (s *Section) bundleVersion(r *http.Request, kept store.Kept) string {
	sum := sha256.Sum256(fmt.Append(nil, kept.Digest, s.PagesDigest(), s.Ruler(r.Context()).Unit()))
	return hex.EncodeToString(sum[:8])
}

// Table sends what the readings of a traveler come to, for a phone to judge by.
func (s *Section) Table(w http.ResponseWriter, r *http.Request) error {
	_, job, err := s.opened(r)
	if err != nil {
		return err
	}
	return s.ShowJSON(w, http.StatusOK, progress.TableOf(job))
}

// tableJSON is the table as a page has it.
func tableJSON(job progress.Job) (string, error) {
	text, err := json.Marshal(progress.TableOf(job))
	return string(text), err
}
