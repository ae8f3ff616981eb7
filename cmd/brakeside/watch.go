package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"brakeside/calc/process"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
	"brakeside/traveler/svg"
	"brakeside/traveler/view"
)

// patient is how long planning goes on before it tells how far it is.
const patient = time.Second

// watcher lets planning be stopped by the context, and tells a person at a
// terminal how far it is when it takes long.
func watcher(ctx context.Context, w io.Writer) func(done, all int) bool {
	began, told := time.Now(), 0
	terminal := false
	if f, ok := w.(*os.File); ok {
		info, err := f.Stat()
		terminal = err == nil && info.Mode()&os.ModeCharDevice != 0
	}
	return func(done, all int) bool {
		if percent := 100 * done / max(all, 1); terminal && time.Since(began) > patient && percent > told {
			told = percent
			fmt.Fprintf(w, "\rplanning %d %%", percent)
		}
		return ctx.Err() == nil
	}
}

// pictureWidth and pictureHeight are the size of one end view, in millimetres.
const pictureWidth, pictureHeight = 150.0, 90.0

// writePictures draws what stands in the way, one end view a conflict.
func writePictures(name string, plans []worked) error {
	if strings.ToLower(filepath.Ext(name)) != ".svg" {
		return misused("plan: -picture %q must end in .svg", name)
	}
	page := &draw.Page{Title: "What stands in the way", Width: pictureWidth + 20, Height: 10}
	for _, p := range plans {
		for _, b := range p.Blocked {
			addPicture(page, p.Brake.Name, b.Picture)
		}
	}
	if len(page.Marks) == 0 {
		return misused("plan: there is nothing to picture: nothing stands in the way")
	}
	page.Description = page.Title
	return writeFile(name, func(w io.Writer) error { return svg.Write(w, page) })
}

func addPicture(page *draw.Page, brake string, p process.Picture) {
	if p.Shapes == nil {
		return
	}
	words := letter.Clean(brake + ", " + p.Words)
	page.Add(draw.Text{X: 10, Y: page.Height, Size: 4, Words: words, MaxWidth: pictureWidth})
	end := view.EndView(traveler.FreezeShapes(p.Shapes), pictureWidth, pictureHeight)
	page.Add(draw.Moved(end.Marks, 10, page.Height+3)...)
	page.Height += pictureHeight + 16
}
