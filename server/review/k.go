package review

import (
	"fmt"
	"net/http"
	"strconv"

	"brakeside/server/lessons"
	"brakeside/server/say"
	"brakeside/server/web"
)

// fillK puts in the K-factors that trial strips would change, and what earlier
// changes did.
func (s *Section) fillK(r *http.Request, v *stopsView) error {
	strips, err := s.book.KProposals(r.Context())
	if err != nil {
		return err
	}
	u := s.Ruler(r.Context())
	for i, p := range strips {
		v.Strips = append(v.Strips, stripProposalOf(u, p, i))
	}
	changes, err := s.book.KChanges(r.Context())
	for _, c := range changes {
		v.KChanges = append(v.KChanges, s.kChangeOf(u, c))
	}
	return err
}

// stripWords names a cell of a K-factor as a person would.
func stripWords(u say.Ruler, k lessons.StripKey) string {
	bar := "every bar"
	if k.Bar != "" {
		bar = k.Bar + " bar"
	}
	return fmt.Sprintf("%s %s, radius %s, %s", k.Material, u.Sheet(k.Thickness.MM()), u.Size(k.Radius.MM()), bar)
}

func stripFields(k lessons.StripKey) []web.Pair {
	return web.Pairs(
		"material", k.Material,
		"thickness", strconv.FormatInt(int64(k.Thickness), 10),
		"radius", strconv.FormatInt(int64(k.Radius), 10),
		"bar", k.Bar,
	)
}

func stripProposalOf(u say.Ruler, p lessons.KProposal, number int) stripProposalView {
	return stripProposalView{
		Cell: stripWords(u, p.Key), ID: "k-" + strconv.Itoa(number),
		Now: fmt.Sprintf("%.3f", p.Now), From: p.From, Next: fmt.Sprintf("%.3f", p.Next), N: p.N,
		Deduction: fmt.Sprintf("%s at 90°", u.Difference(p.DeductionChange)),
		Limited:   fmt.Sprintf("%.3f", p.Wanted) != fmt.Sprintf("%.3f", p.Next),
		Hidden:    append(stripFields(p.Key), web.Pair{Name: "seen", Value: fmt.Sprintf("%.6f", p.Next)}),
	}
}

func (s *Section) kChangeOf(u say.Ruler, c lessons.KChange) changeLine {
	return changeLine{
		When: s.When(c.At), Cell: stripWords(u, c.Key), By: c.By, Current: c.Current, Hidden: stripFields(c.Key),
		Words:  fmt.Sprintf("%s: K from %.3f to %.3f", c.Kind, c.Was, c.Becomes),
		Before: deviationWords(u, c.Before), After: deviationWords(u, c.After),
	}
}

// deviationWords words how far some strips were off, with n.
func deviationWords(u say.Ruler, d lessons.Deviations) string {
	if d.N == 0 {
		return "none yet"
	}
	return fmt.Sprintf("%s mean, %s off on average, n = %d", u.Difference(d.Mean), u.Sheet(d.MeanSize), d.N)
}
