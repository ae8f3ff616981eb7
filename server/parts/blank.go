package parts

import (
	"context"
	"net/http"
	"strings"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/server/lessons"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
)

// brakeChoice is a brake that the blank may be drawn for.
type brakeChoice struct {
	Seq  int64
	Name string
}

// BlankFile gives the blank as a drawing: for the screen, for paper, or plain for
// the cutter. With a brake in the address it is the blank of the plan on that
// brake. Without one it is refused where it depends on the bar: metal would be cut
// that fits no sheet.
func (s *Section) BlankFile(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Version(r, store.Parts)
	if err != nil {
		return err
	}
	plan, err := s.toCut(r, kept)
	if err != nil {
		return err
	}
	return s.SendBlank(w, r, partFileName(kept), traveler.FreezeBlank(plan), traveler.FreezePart(plan))
}

// toCut works out the blank that is to be drawn.
func (s *Section) toCut(r *http.Request, kept store.Revision) (*process.Plan, error) {
	if r.URL.Query().Get("brake") != "" {
		plan, _, err := s.planOfAddress(r)
		return plan, err
	}
	open, err := s.brakesToChoose(r.Context(), kept.JSON)
	if err != nil {
		return nil, err
	}
	if len(open) > 0 {
		return nil, fault.New(fault.Invalid, "brake",
			"The blank of this part depends on the bar that bends it. Choose the brake on the page of the part.")
	}
	return s.plans.Draft(r.Context(), kept.JSON)
}

// brakesToChoose lists the brakes of the shop where the blank of a part depends on
// the bar, on one of them at least; none where it is the same on all. A part that
// cannot be worked out has none; its page says why already.
func (s *Section) brakesToChoose(ctx context.Context, file []byte) ([]brakeChoice, error) {
	drawn, err := part.Read(file)
	if web.IsRefusal(err) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	brakes, err := s.Brakes(ctx)
	if err != nil {
		return nil, err
	}
	depends := false
	var all []brakeChoice
	for _, on := range brakes {
		byBar, err := s.blankByBar(ctx, drawn, on)
		if err != nil && !web.IsRefusal(err) {
			return nil, err
		}
		depends = depends || byBar
		all = append(all, brakeChoice{on.Seq, on.Name})
	}
	if !depends {
		return nil, nil
	}
	return all, nil
}

// blankByBar is calc.BlankByBar with the figures of the shop.
func (s *Section) blankByBar(ctx context.Context, drawn part.Part, on store.Revision) (bool, error) {
	shop, err := lessons.FiguresOf(ctx, s.Store)
	if err != nil {
		return false, err
	}
	k, err := brake.Read(on.JSON)
	if err != nil {
		return false, err
	}
	return calc.BlankByBar(drawn, k, shop)
}

// partFileName names a file about a kept version, without its ending.
func partFileName(kept store.Revision) string {
	return strings.NewReplacer("/", "-", `\`, "-").Replace(kept.Name + "-rev-" + kept.Revision)
}
