package notation

import (
	"encoding/json"
	"strings"

	"brakeside/calc/fault"

	jsonpatch "github.com/evanphx/json-patch/v5"
)

// Patch is a change of a file, made up of edits one after the other: a JSON Patch
// (RFC 6902). A change that is offered is tried, printed and made by this one text.
type Patch []Edit

// Edit is one operation of a patch: replace, add or remove what stands at a JSON
// pointer (RFC 6901).
type Edit struct {
	Op    string `json:"op"`
	Path  string `json:"path"`
	Value any    `json:"value,omitempty"` // none where something is removed
}

// The operations that edits are made of; the standard knows more.
const (
	Replace = "replace"
	Add     = "add"
	Remove  = "remove"
)

// ReadPatch reads a patch that was written down. What is none, or asks for other
// operations than these three, is refused.
func ReadPatch(text []byte) (Patch, error) {
	var p Patch
	if _, err := Read(text, &p); err != nil {
		return nil, err
	}
	for _, e := range p {
		if e.Op != Replace && e.Op != Add && e.Op != Remove {
			return nil, fault.New(fault.Invalid, "", "%q is no change that is made here; a change replaces, adds or removes", e.Op)
		}
	}
	return p, nil
}

// Apply gives the file with the changes made. A patch that does not belong to the
// file is refused.
func (p Patch) Apply(file []byte) ([]byte, error) {
	text, err := json.Marshal(p)
	if err != nil {
		return nil, err
	}
	edits, err := jsonpatch.DecodePatch(text)
	if err != nil {
		return nil, err
	}
	changed, err := edits.ApplyIndent(file, " ")
	if err != nil {
		return nil, fault.New(fault.Invalid, "", "the change does not belong to this file: %s", strings.ReplaceAll(err.Error(), "\n", " "))
	}
	return changed, nil
}

// Changed applies a patch to the text that was read.
func (p Places) Changed(patch Patch) ([]byte, error) { return patch.Apply(p.data) }
