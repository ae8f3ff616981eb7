package parts

import (
	"fmt"
	"html/template"
	"net/http"

	"brakeside/calc/process"
	"brakeside/calc/scene"
	"brakeside/calc/unit"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/sketch"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/layout"
	"brakeside/traveler/view"
)

// Sizes of the drawings beside the form, in their own millimetres.
const (
	partWidth  = 90.0
	partHeight = 62.0
	nameSize   = 4.0
)

type bendLine struct{ Word, Angle, Radius, K, Allowance, Deduction, Springback, From string }

// drawn draws a part, or tells what is wrong with it.
func (s *Section) drawn(r *http.Request, file []byte) (shelf.Drawing, []bendLine) {
	plan, err := s.plans.Draft(r.Context(), file)
	if err == nil {
		var view shelf.Drawing
		if view, err = drawingOf(plan, s.Ruler(r.Context())); err == nil {
			return view, bendLines(plan, s.Ruler(r.Context()))
		}
	}
	if !web.IsRefusal(err) {
		s.Log.Error("part not drawn", "request", web.TicketOf(r).ID, "error", err)
	}
	field, message := web.MessageOf(err)
	return shelf.Drawing{Message: message, Field: field}, nil
}

func drawingOf(plan *process.Plan, rule say.Ruler) (shelf.Drawing, error) {
	blank, made := traveler.FreezeBlank(plan), traveler.FreezePart(plan)
	shown := shelf.Drawing{Facts: web.Pairs(
		"Blank", rule.Size(plan.Blank.Width)+" × "+rule.Size(plan.Blank.Height),
		"Diagonal", rule.Size(blank.Diagonal.MM()),
		"Mass", plan.Blank.Mass().Text(2)+" kg",
		"Sheet", made.Material+", "+rule.Sheet(plan.Blank.Sheet.Thickness),
		"Inside radius", rule.Sheet(made.InsideRadius.MM()),
		"Bends", fmt.Sprint(len(plan.Bends)),
	)}
	if words := plan.Blank.CutToFit; words != "" {
		shown.Facts = append(shown.Facts, web.Pair{Name: "Mitres and cuts", Value: words})
	}
	typed := made
	typed.Number = say.Typed(made.Number) // its heading is looked up
	var err error
	if shown.Blank, err = web.Picture(layout.OnScreen(blank, typed)); err != nil {
		return shown, err
	}
	pages := append(sketch.Section(plan.Blank, partWidth, partHeight), view.Finished(finished(plan), partWidth, partHeight, nameSize))
	shown.Views, err = drawings(pages...)
	return shown, err
}

// Thumb shows a part in a list, finished. It needs no plan.
func (s *Section) Thumb(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Version(r, store.Parts)
	if err != nil {
		return err
	}
	plan, err := s.plans.Draft(r.Context(), kept.JSON)
	if err != nil {
		return err
	}
	return shelf.SendThumb(w, finished(plan))
}

func finished(plan *process.Plan) *traveler.Picture {
	return traveler.FreezePicture(plan.Blank, scene.Finished(plan.Blank, nil))
}

// drawings draws several pages for use inside HTML.
func drawings(pages ...*draw.Page) ([]template.HTML, error) {
	var out []template.HTML
	for _, p := range pages {
		drawn, err := web.Picture(p)
		if err != nil {
			return nil, err
		}
		out = append(out, drawn)
	}
	return out, nil
}

// bendLines puts the arithmetic of every bend into words.
func bendLines(plan *process.Plan, rule say.Ruler) []bendLine {
	var out []bendLine
	for _, b := range plan.Bends {
		way := "up"
		if b.Angle < 0 {
			way = "down"
		}
		out = append(out, bendLine{
			Word: b.Word, Angle: fmt.Sprintf("%s° %s (opening %s°)", b.Bend.Angle.Text(1), way, unit.Opening(b.Bend.Angle).Text(1)),
			Radius: rule.Sheet(b.Bend.Radius), K: fmt.Sprintf("%.3f, %s", b.Bend.K, b.Rule),
			Allowance: rule.Worked(b.Bend.Allowance()), Deduction: rule.Worked(b.Deduction),
			Springback: b.Springback.Text(1) + "°", From: b.SpringbackFrom,
		})
	}
	return out
}
