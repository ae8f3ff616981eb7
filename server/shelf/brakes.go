package shelf

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"brakeside/server/change"
	"brakeside/server/say"
	"brakeside/server/store"
)

// Brakes lists the brakes of the shop, each as last kept.
func (s *Shelf) Brakes(ctx context.Context) ([]store.Revision, error) {
	return s.Store.Newest(ctx, store.Brakes)
}

// BrakeConcerns tells what has changed of the brake since a sheet was made with
// it, as far as the sheet uses it.
func (s *Shelf) BrakeConcerns(ctx context.Context, code string) ([]string, error) {
	kept, err := s.Store.TravelerByCode(ctx, code)
	if err != nil {
		return nil, err
	}
	basis, err := s.Store.Basis(ctx, code)
	if err != nil || basis.Brake == 0 {
		return nil, err
	}
	was, err := s.Store.Version(ctx, store.Brakes, basis.Brake)
	if err != nil {
		return nil, err
	}
	is, err := s.Store.Find(ctx, store.Brakes, was.Name)
	if err != nil || is.Seq == was.Seq {
		return nil, err
	}
	lines, err := change.Between(was.JSON, is.JSON)
	if err != nil {
		return nil, err
	}
	return concerns(lines, usesOf(kept)), nil
}

// usesOf gives the bars a sheet uses, with the fingers of each.
func usesOf(kept store.Kept) map[string][]string {
	uses := map[string][]string{}
	for _, step := range kept.Traveler.Steps {
		if _, known := uses[step.Bar]; !known {
			uses[step.Bar] = nil
		}
		for _, g := range step.Segments {
			uses[step.Bar] = append(uses[step.Bar], g.Width.Text(0))
		}
	}
	return uses
}

// concerns words the changes that matter to a sheet: of the machine itself, and
// of the bars and fingers it uses.
func concerns(lines []change.Line, uses map[string][]string) []string {
	var out []string
	gone := goneBars(lines)
	for _, l := range lines {
		name, field, ofBar := barValue(l.What)
		fingers, used := uses[name]
		switch {
		case strings.HasPrefix(l.What, "minutes."):
		case !ofBar:
			out = append(out, fmt.Sprintf("%s was %s and is %s", plainName(l.What), say.OrNone(l.Before), say.OrNone(l.After)))
		case !used:
		case gone[name]: // all its values are: once is enough
			if field == "name" {
				out = append(out, fmt.Sprintf("the bar %s is gone, and the sheet uses it", say.Typed(name)))
			}
		case field == "missing":
			out = append(out, missingConcerns(name, strings.Split(l.After, ", "), fingers)...)
		default:
			out = append(out, fmt.Sprintf("%s of %s was %s and is %s", plainName(field), say.Typed(name), say.OrNone(l.Before), say.OrNone(l.After)))
		}
	}
	return out
}

// barValue takes the place of a value of a bar apart: the bar and the value.
func barValue(place string) (bar, field string, ofBar bool) {
	rest, ofBar := strings.CutPrefix(place, "bars[")
	bar, field, _ = strings.Cut(rest, "].")
	return bar, field, ofBar
}

// goneBars are the bars that a brake had and has no more.
func goneBars(lines []change.Line) map[string]bool {
	gone := map[string]bool{}
	for _, l := range lines {
		if bar, field, ofBar := barValue(l.What); ofBar && field == "name" && l.After == "" {
			gone[bar] = true
		}
	}
	return gone
}

// missingConcerns names each missing finger that a sheet uses, once however
// often it uses it.
func missingConcerns(bar string, missing, used []string) []string {
	var out []string
	for i, width := range missing {
		if slices.Contains(used, width) && slices.Index(missing, width) == i {
			out = append(out, fmt.Sprintf("finger %s of %s is missing, and the sheet uses it", width, bar))
		}
	}
	return out
}

func plainName(field string) string { return strings.NewReplacer("_", " ", ".", ", ").Replace(field) }
