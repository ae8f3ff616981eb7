package parts

import (
	"fmt"
	"net/http"
	"strings"

	"brakeside/calc/figures"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/server/lessons"
	"brakeside/server/say"
)

// ruleLine is what one rule for the K-factor would give for a part.
type ruleLine struct{ Rule, Blank, Bends, Source string }

// mostSorts is how many different bends a rule's line shows.
const mostSorts = 4

// rulesOf works a part out by every rule, so that the owner sees what each would
// cut. A part that cannot be worked out has none; its page says why already.
func (s *Section) rulesOf(r *http.Request, file []byte) []ruleLine {
	drawn, err := part.Read(file)
	if err != nil {
		return nil
	}
	figures, err := lessons.FiguresOf(r.Context(), s.Store)
	if err != nil {
		return nil
	}
	compared, err := figures.CompareRules(drawn)
	if err != nil {
		return nil
	}
	rule := s.Ruler(r.Context())
	var out []ruleLine
	for _, c := range compared {
		out = append(out, ruleLine{
			Rule: c.Rule.Name, Source: c.Rule.Source, Bends: bendsByRule(rule, c),
			Blank: rule.Sheet(c.Width) + " × " + rule.Sheet(c.Height),
		})
	}
	return out
}

// bendsByRule lists K-factor and deduction of each sort of bend.
func bendsByRule(u say.Ruler, c figures.ByRule) string {
	var texts []string
	for _, i := range process.Sorts(c.Bends) {
		if len(texts) == mostSorts {
			texts = append(texts, "…")
			break
		}
		b := c.Bends[i]
		texts = append(texts, fmt.Sprintf("%s: K %.3f, deduction %s", b.Word, b.Bend.K, u.Sheet(b.Deduction)))
	}
	return strings.Join(texts, "; ")
}
