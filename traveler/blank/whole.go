package blank

import (
	"math"
	"slices"
	"strconv"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/sign"
	"brakeside/traveler/view"
)

// What stands over the picture of the finished part.
const (
	wordsFinished = "finished part, not to scale"
	wordsNumbers  = "; numbers: steps"
	wordsUnseen   = "; behind: "
)

// says is what stands over the picture: with the faces that are not seen in it.
func (w whole) says() string {
	between, words := wordsUnseen, wordsFinished
	if w.Picture == nil {
		return words
	}
	if slices.ContainsFunc(w.Spots, func(spot traveler.Spot) bool { return spot.What == traveler.SpotBend && spot.Seen }) {
		words += wordsNumbers
	}
	for _, spot := range w.Spots {
		if spot.What == traveler.SpotFace && !spot.Seen {
			words += between + spot.Name
			between = ", "
		}
	}
	return words
}

// whole is the picture of the finished part; nil in older travelers.
type whole struct{ *traveler.Picture }

// empty reports whether there is nothing to show.
func (w whole) empty() bool { return view.Fitted(w.Picture, 1e3, 1e3).Empty() }

// leastFinished is the least side of a box for the picture, and the least length of
// the part in it, from which it tells more than it clutters.
const leastFinished = 20.0

// length is how long the longer side of the part comes out in a box, under its title;
// 0 where the box is too small for it.
func (w whole) length(b canvas.Box) float64 {
	if b.W < leastFinished || b.H < leastFinished {
		return 0
	}
	room := w.room(b)
	s := view.Fitted(w.Picture, room.W, room.H)
	if s.Empty() {
		return 0
	}
	if long := math.Max(s.Size()); long >= leastFinished {
		return long
	}
	return 0
}

// room is the part of a box that the picture itself may fill.
func (w whole) room(b canvas.Box) canvas.Box {
	_, b = b.Inset(1.5).CutTop(canvas.Small.Height(w.says(), b.W-3))
	return b
}

// draw puts the finished part and its title into a box; nothing where it has no
// length there.
func (w whole) draw(c canvas.Canvas, b canvas.Box) {
	if w.length(b) == 0 {
		return
	}
	title, _ := b.Inset(1.5).CutTop(canvas.Small.Height(w.says(), b.W-3))
	c.Flow(title, canvas.Small, w.says())
	room := w.room(b)
	s := view.Fitted(w.Picture, room.W, room.H)
	c.Add(draw.Moved(s.Marks(), room.X, room.Y)...)
	on := func(spot traveler.Spot) draw.Point {
		at := s.At(spot.At)
		return draw.Point{X: room.X + at.X, Y: room.Y + at.Y}
	}
	var taken []canvas.Box
	for _, spot := range s.Spots(traveler.SpotMirror) {
		at := s.At(spot.At)
		taken = append(taken, canvas.Around([]draw.Point{at}).Grown(sign.MirrorReach))
		sign.Mirror(c, on(spot))
	}
	c.Add(draw.Moved(s.NamesClear(canvas.Smallest, room.H, &taken), room.X, room.Y)...)
	for _, spot := range s.Spots(traveler.SpotBend) {
		disc := canvas.Around([]draw.Point{s.At(spot.At)}).Grown(sign.DiscRadius)
		if on(spot).Y-sign.DiscRadius >= title.Bottom() && !slices.ContainsFunc(taken, disc.Meets) {
			taken = append(taken, disc)
			sign.Disc(c, on(spot), sign.DiscRadius, strconv.Itoa(spot.Step))
		}
	}
}
