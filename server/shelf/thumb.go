package shelf

import (
	"net/http"

	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/view"
)

// The sizes of a finished part in a list and by itself, in their own millimetres.
const (
	thumbWidth, thumbHeight = 16.0, 12.0
	wholeWidth, wholeHeight = foldWidth / 10, foldHeight / 10
	faceName                = 4.0
)

// SendThumb sends the finished part as small as lists show it. Lists ask for it by an
// address of its own once a line comes into sight, and browsers keep it: what an
// address shows was frozen or kept once and does not change, but a later program may
// draw it better.
func SendThumb(w http.ResponseWriter, p *traveler.Picture) error {
	return sendKept(w, view.Thumb(p, thumbWidth, thumbHeight))
}

// SendFinished sends the finished part with the names of its faces.
func SendFinished(w http.ResponseWriter, p *traveler.Picture) error {
	return sendKept(w, view.Finished(p, wholeWidth, wholeHeight, faceName))
}

func sendKept(w http.ResponseWriter, page *draw.Page) error {
	drawn, err := web.Picture(page)
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "private, max-age=604800")
	return web.Write(w, web.Reply{Kind: "image/svg+xml", Body: []byte(drawn)})
}
