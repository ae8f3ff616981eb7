package shelf

import (
	"net/http"

	"brakeside/calc/notation"
	"brakeside/server/change"
)

// Proposed is a kept file with the change made that an address asks for, a JSON Patch
// as a cure carries it, and what that changes. Nothing is kept by it. Without a change
// the file is given as it is; a change that is none, or of another file, is refused.
func Proposed(r *http.Request, file []byte) ([]byte, []change.Line, error) {
	asked := r.URL.Query().Get("change")
	if asked == "" {
		return file, nil, nil
	}
	patch, err := notation.ReadPatch([]byte(asked))
	if err != nil {
		return nil, nil, err
	}
	changed, err := patch.Apply(file)
	if err != nil {
		return nil, nil, err
	}
	lines, err := change.Between(file, changed)
	return changed, lines, err
}
