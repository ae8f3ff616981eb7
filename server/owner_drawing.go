package server

import (
	"fmt"
	"html/template"
	"maps"
	"net/http"
	"net/url"

	"brakeside/calc"
	"brakeside/calc/unit"
	"brakeside/server/sketch"
	"brakeside/templates"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/iso"
	"brakeside/traveler/layout"
)

// drawingView is a part as it is drawn beside its form: or why it is not.
type drawingView struct {
	Message, Field string
	Blank          template.HTML
	Views          []template.HTML
	Facts          []fieldView
}

// Sizes of the drawings beside the form, in their own millimetres.
const (
	partWidth  = 90.0
	partHeight = 62.0
)

// drawn draws a part, or tells what is wrong with it.
func (s *Server) drawn(r *http.Request, file []byte) (drawingView, []bendLine) {
	plan, err := s.plans.Draft(r.Context(), file)
	if err == nil {
		var view drawingView
		if view, err = drawingOf(plan, s.ruler(r.Context())); err == nil {
			return view, bendLines(plan, s.ruler(r.Context()))
		}
	}
	if !isRefusal(err) {
		s.log.Error("part not drawn", "request", ticketOf(r).id, "error", err)
	}
	field, message := messageOf(err)
	return drawingView{Message: message, Field: field}, nil
}

func drawingOf(plan *calc.Plan, rule ruler) (drawingView, error) {
	blank, made := traveler.FreezeBlank(plan), traveler.FreezePart(plan)
	view := drawingView{Facts: []fieldView{
		{"Blank", rule.size(plan.Blank.Width) + " × " + rule.size(plan.Blank.Height)},
		{"Diagonal", rule.size(blank.Diagonal.MM())},
		{"Mass", plan.Blank.Mass().Text(2) + " kg"},
		{"Sheet", made.Material + ", " + rule.sheet(plan.Blank.Sheet.Thickness)},
		{"Inside radius", rule.sheet(made.InsideRadius.MM())},
		{"Bends", fmt.Sprint(len(plan.Bends))},
	}}
	var err error
	if view.Blank, err = picture(layout.OnScreen(blank, made)); err != nil {
		return view, err
	}
	pages := append(sketch.Section(plan.Blank, partWidth, partHeight), iso.Of(plan.Blank).Finished(partWidth, partHeight))
	view.Views, err = drawings(pages...)
	return view, err
}

// drawings draws several pages for use inside HTML.
func drawings(pages ...*draw.Page) ([]template.HTML, error) {
	var out []template.HTML
	for _, p := range pages {
		drawn, err := picture(p)
		if err != nil {
			return nil, err
		}
		out = append(out, drawn)
	}
	return out, nil
}

// bendLines puts the arithmetic of every bend into words.
func bendLines(plan *calc.Plan, rule ruler) []bendLine {
	var out []bendLine
	for _, b := range plan.Bends {
		way := "up"
		if b.Angle < 0 {
			way = "down"
		}
		out = append(out, bendLine{
			ID: b.ID, Angle: fmt.Sprintf("%s° %s (opening %s°)", b.Bend.Angle.Text(1), way, unit.Opening(b.Bend.Angle).Text(1)),
			Radius: rule.sheet(b.Bend.Radius), K: fmt.Sprintf("%.3f, %s", b.Bend.K, b.Rule),
			Allowance: b.Bend.Allowance().Text(2), Deduction: b.Deduction.Text(2),
			Springback: b.Springback.Text(1) + "°", From: b.SpringbackFrom,
		})
	}
	return out
}

// drawPart answers the script of the form: the drawing of what is typed now.
func (s *Server) drawPart(w http.ResponseWriter, r *http.Request) error {
	form, err := s.readUpTo(w, r, mostDrawing)
	if err != nil {
		return err
	}
	return s.showBlock(w, templates.Block{Page: "owner/part-form", Name: "drawing"}, s.drawingOfForm(r, form))
}

// drawingOfForm draws what is typed into a form; a part without a number yet can
// be drawn all the same.
func (s *Server) drawingOfForm(r *http.Request, form url.Values) drawingView {
	if form.Get("kind") != fileKind && form.Get("number") == "" {
		form = maps.Clone(form)
		form.Set("number", "new part")
	}
	file, err := typedPart(form)
	if err != nil {
		field, message := messageOf(err)
		return drawingView{Message: message, Field: field}
	}
	view, _ := s.drawn(r, file)
	return view
}
