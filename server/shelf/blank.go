package shelf

import (
	"bytes"
	"net/http"

	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/blankfile"
)

// SendBlank sends the drawing of a blank, of the kind that the address names, to
// be saved under a name to which the ending is added.
func (s *Shelf) SendBlank(w http.ResponseWriter, r *http.Request, name string, b traveler.Blank, p traveler.Part) error {
	kind := blankfile.Kind(web.Variable(r, "kind"))
	drawing := blankfile.Drawing{Blank: b, Part: p, System: s.Ruler(r.Context()).System}
	var out bytes.Buffer
	if err := drawing.Write(&out, kind); err != nil {
		return err
	}
	return web.Attach(w, name+"."+string(kind), web.Reply{Kind: kind.MediaType(), Body: out.Bytes()})
}
