package figures

import (
	"strings"

	"brakeside/calc/bend"
	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// ByRule is a part worked out by one rule for the K-factor.
type ByRule struct {
	Rule          bend.Rule
	Width, Height unit.MM // of the blank
	Bends         []process.Bend
}

// CompareRules works a part out by every rule in turn, as if the shop had
// measured nothing and the part file pinned no K-factor, so that an owner sees
// what each would cut. The bars are left aside.
func (s Shop) CompareRules(p part.Part) ([]ByRule, error) {
	var out []ByRule
	p.K = 0
	for _, rule := range bend.Rules() {
		plan, err := Shop{Practice: bend.Practice{Rule: rule}, Materials: s.Materials}.Draft(p)
		if err != nil {
			return nil, err
		}
		out = append(out, ByRule{rule, plan.Blank.Width, plan.Blank.Height, plan.Bends})
	}
	return out, nil
}

// WithRule gives the shop going by another rule wherever it has measured
// nothing. An unknown one is refused as fault.Missing on the field "rule".
func (s Shop) WithRule(name string) (Shop, error) {
	rule, known := bend.FindRule(name)
	if !known {
		return s, fault.New(fault.Missing, "rule", "no rule is called %q; the rules are %s", name, strings.Join(RuleNames(), ", "))
	}
	s.Rule, s.RuleFor = rule, nil
	return s, nil
}
