package words

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// forms is how a language counts: how many forms it has, and which one goes with a
// number, as the head of a catalogue says it after Plural-Forms.
type forms struct {
	count int
	of    func(n uint64) uint64
}

// germanic is what gettext goes by where a catalogue says nothing: one, and all others.
var germanic = forms{2, func(n uint64) uint64 { return truth(n != 1) }}

// form is the form that goes with a number; the first where the rule gives none.
func (f forms) form(n uint64) int {
	if at := f.of(n); at < uint64(f.count) {
		return int(at)
	}
	return 0
}

var (
	pluralForms = regexp.MustCompile(`(?m)^Plural-Forms: *nplurals *= *(\d{1,2}) *; *plural *= *([^;]*);? *$`)
	pluralToken = regexp.MustCompile(`\s*(\d{1,9}|n|\|\||&&|[=!<>]=|[-+*/%<>?:()!])`)
)

// formsOf reads the line Plural-Forms of a head; Germanic where it has none.
func formsOf(head string) (forms, error) {
	found := pluralForms.FindStringSubmatch(head)
	if found == nil {
		if strings.Contains(head, "Plural-Forms:") {
			return forms{}, fmt.Errorf(`the line Plural-Forms is not like "Plural-Forms: nplurals=2; plural=(n != 1);\n"`)
		}
		return germanic, nil
	}
	count, _ := strconv.Atoi(found[1])
	rule := counting{text: found[2]}
	of, err := rule.whole()
	if err != nil || count == 0 || len(found[2]) > longestRule {
		return forms{}, fmt.Errorf("the rule of Plural-Forms is none: %.60s", found[2])
	}
	return forms{count, of}, nil
}

// counting reads a rule of plural forms: an expression of C over n, of whole numbers
// that are not negative (the manual of GNU gettext, 12.2.6).
type counting struct {
	text string
	deep int
}

// deepest is how deep a rule may be nested, longestRule how many bytes it may have.
const (
	deepest     = 100
	longestRule = 1000
)

var errRule = fmt.Errorf("no rule")

type value = func(n uint64) uint64

func (c *counting) whole() (value, error) {
	v, err := c.choice()
	if err == nil && strings.TrimSpace(c.text) != "" {
		err = errRule
	}
	return v, err
}

// next takes the next token if it is one of some.
func (c *counting) next(wanted ...string) (string, bool) {
	at := pluralToken.FindStringSubmatchIndex(c.text)
	if at == nil || at[0] != 0 {
		return "", false
	}
	token := c.text[at[2]:at[3]]
	for _, w := range wanted {
		if token == w || w == "0" && token[0] >= '0' && token[0] <= '9' {
			c.text = c.text[at[1]:]
			return token, true
		}
	}
	return "", false
}

// choice reads a ? b : c, or what binds more.
func (c *counting) choice() (value, error) {
	if c.deep++; c.deep > deepest {
		return nil, errRule
	}
	defer func() { c.deep-- }()
	test, err := c.binary(0)
	if _, asks := c.next("?"); err != nil || !asks {
		return test, err
	}
	yes, err := c.choice()
	if _, goesOn := c.next(":"); err != nil || !goesOn {
		return nil, errRule
	}
	no, err := c.choice()
	return func(n uint64) uint64 {
		if test(n) != 0 {
			return yes(n)
		}
		return no(n)
	}, err
}

// binding are the operators between two values, those that bind least first.
var binding = [][]string{{"||"}, {"&&"}, {"==", "!="}, {"<", ">", "<=", ">="}, {"+", "-"}, {"*", "/", "%"}}

// binary reads values with operators between them, from one level of binding on.
func (c *counting) binary(level int) (value, error) {
	if level == len(binding) {
		return c.single()
	}
	left, err := c.binary(level + 1)
	for err == nil {
		sign, found := c.next(binding[level]...)
		if !found {
			return left, nil
		}
		var right value
		if right, err = c.binary(level + 1); err == nil {
			left = joinedBy(sign, left, right)
		}
	}
	return nil, err
}

// single reads n, a number, what stands in brackets, or the contrary of one of these.
func (c *counting) single() (value, error) {
	if c.deep++; c.deep > deepest {
		return nil, errRule
	}
	defer func() { c.deep-- }()
	token, found := c.next("n", "0", "!", "(")
	if !found {
		return nil, errRule
	}
	switch token {
	case "n":
		return func(n uint64) uint64 { return n }, nil
	case "!":
		of, err := c.single()
		return func(n uint64) uint64 { return truth(of(n) == 0) }, err
	case "(":
		inner, err := c.choice()
		if _, closed := c.next(")"); err == nil && !closed {
			err = errRule
		}
		return inner, err
	}
	number, err := strconv.ParseUint(token, 10, 64)
	return func(uint64) uint64 { return number }, err
}

func truth(is bool) uint64 {
	if is {
		return 1
	}
	return 0
}

// joinedBy is what an operator makes of two values. What is divided by nothing is
// nothing.
func joinedBy(sign string, a, b value) value {
	return func(n uint64) uint64 {
		x, y := a(n), b(n)
		switch sign {
		case "||":
			return truth(x != 0 || y != 0)
		case "&&":
			return truth(x != 0 && y != 0)
		case "==":
			return truth(x == y)
		case "!=":
			return truth(x != y)
		case "<":
			return truth(x < y)
		case ">":
			return truth(x > y)
		case "<=":
			return truth(x <= y)
		case ">=":
			return truth(x >= y)
		case "+":
			return x + y
		case "-":
			return x - y
		case "*":
			return x * y
		}
		if y == 0 {
			return 0
		}
		if sign == "/" {
			return x / y
		}
		return x % y
	}
}
