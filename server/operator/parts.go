package operator

import (
	"html/template"
	"net/http"

	"brakeside/server/say"
	"brakeside/server/store"
	"brakeside/templates"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// stepParts are the parts of a page that the traveler alone decides, ready to be
// placed. Filling them is most of what a page costs, and a step is looked at as
// often as there are pieces.
type stepParts struct {
	Cautions, Setting template.HTML
	bend, opening     template.HTML // the keys for the angle
}

// Pad gives the keys for an angle given as the bend or as the opening.
func (p stepParts) Pad(as string) template.HTML {
	if as == progress.GivenOpening {
		return p.opening
	}
	return p.bend
}

// stepKey is what the view of a step hangs on.
type stepKey struct {
	traveler string // its digest
	step     int
	units    say.Ruler
}

// step gives the view of a step with its parts. It is shared: what it holds must
// not be changed.
func (s *Section) step(r *http.Request, kept store.Kept, step traveler.Step) (stepView, error) {
	units := s.Ruler(r.Context())
	return s.steps.Get(s.Store.Changes(), stepKey{kept.Digest, step.Number, units}, func() (stepView, error) {
		view, err := viewOf(units, kept.Traveler, step)
		if err != nil {
			return view, err
		}
		inOpenings := view
		inOpenings.setPad(step, progress.GivenOpening)
		for _, part := range []struct {
			name string
			view stepView
			to   *template.HTML
		}{
			{"step-cautions", view, &view.Parts.Cautions}, {"step-setting", view, &view.Parts.Setting},
			{"step-pad", view, &view.Parts.bend}, {"step-pad", inOpenings, &view.Parts.opening},
		} {
			if *part.to, err = s.Fill(templates.Block{Page: "operator/bundle", Name: part.name}, part.view); err != nil {
				return view, err
			}
		}
		return view, nil
	})
}

// moreKey is what the lower fields of a form hang on that nobody has filled in yet.
type moreKey struct{ shows, state string }

// more fills the fields of a page that stand below the angle.
func (s *Section) more(view *bendView, fresh bool) (template.HTML, error) {
	fill := func() (template.HTML, error) {
		return s.Fill(templates.Block{Page: "operator/bend", Name: "log-more"}, view)
	}
	if !fresh || view.Field != "" {
		return fill()
	}
	return s.fresh.Get(s.Store.Changes(), moreKey{view.Form.Value("given_as"), view.Form.Value("state")}, fill)
}
