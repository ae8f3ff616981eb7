package shelf

import (
	"net/http"

	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/view"
)

// The size of a finished part in a list, in its own millimetres.
const (
	thumbWidth  = 16.0
	thumbHeight = 12.0
)

// SendThumb sends the finished part as small as lists show it. Lists ask for it by an
// address of its own once a line comes into sight, and browsers keep it: what an
// address shows was frozen or kept once and does not change, but a later program may
// draw it better.
func SendThumb(w http.ResponseWriter, p *traveler.Picture) error {
	drawn, err := web.Picture(view.Thumb(p, thumbWidth, thumbHeight))
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "private, max-age=604800")
	return web.Write(w, web.Reply{Kind: "image/svg+xml", Body: []byte(drawn)})
}
