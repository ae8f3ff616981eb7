package server

import (
	"fmt"
	"net/http"
	"strings"

	"brakeside/calc/figures"
	"brakeside/calc/part"
	"brakeside/calc/process"
)

// ruleLine is what one rule for the K-factor would give for a part.
type ruleLine struct{ Rule, Blank, Bends, Source string }

// mostSorts is how many different bends a rule's line shows.
const mostSorts = 4

// rulesOf works a part out by every rule, so that the owner sees what each would
// cut. A part that cannot be worked out has none; its page says why already.
func (s *Server) rulesOf(r *http.Request, file []byte) []ruleLine {
	drawn, err := part.Read(file)
	if err != nil {
		return nil
	}
	figures, err := Figures(r.Context(), s.store)
	if err != nil {
		return nil
	}
	compared, err := figures.CompareRules(drawn)
	if err != nil {
		return nil
	}
	rule := s.ruler(r.Context())
	var out []ruleLine
	for _, c := range compared {
		out = append(out, ruleLine{
			Rule: c.Rule.Name, Source: c.Rule.Source, Bends: rule.bendsByRule(c),
			Blank: rule.sheet(c.Width) + " × " + rule.sheet(c.Height),
		})
	}
	return out
}

// bendsByRule lists K-factor and deduction of each sort of bend.
func (u ruler) bendsByRule(c figures.ByRule) string {
	var texts []string
	for _, i := range process.Sorts(c.Bends) {
		if len(texts) == mostSorts {
			texts = append(texts, "…")
			break
		}
		b := c.Bends[i]
		texts = append(texts, fmt.Sprintf("%s: K %.3f, deduction %s", b.ID, b.Bend.K, u.sheet(b.Deduction)))
	}
	return strings.Join(texts, "; ")
}
