package words

import (
	"bytes"
	"cmp"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"text/template/parse"

	"golang.org/x/net/html"
)

var update = flag.Bool("update", false, "collect the English anew into english.pot")

const top = "../.."

// speaking are the folders whose Go code words what a person reads on a page.
var speaking = []string{"calc", "traveler/progress", "traveler/standing", "traveler/view", "traveler/draw", "traveler/layout", "traveler/dxf", "server"}

// Everything that a page can say stands in english.pot.
func TestEnglish(t *testing.T) {
	found := make(phrases)
	found.fromPages(t)
	found.fromCode(t)
	for _, text := range composed {
		found.add("", text, "(composed)")
	}
	for one, more := range counted {
		found.addPlural(one, more, "(counted)")
	}
	text := found.write()
	if *update {
		if err := os.WriteFile("english.pot", text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile("english.pot")
	if err != nil || !bytes.Equal(kept, text) {
		t.Errorf("english.pot is not what the pages and the code say (%v): go test ./templates/words -run TestEnglish -update", err)
	}
	if _, err := Read(bytes.Replace(kept, []byte(`"Language: \n"`), []byte(`"Language: en\n"`), 1)); err != nil {
		t.Errorf("english.pot as a catalogue: %v", err)
	}
}

// phrases are all texts with the files they stand in.
type phrases map[phrase]map[string]bool

// phrase is a text in its context, with what it is of more than one.
type phrase struct{ context, text, plural string }

func (p phrases) add(context, text, file string) {
	text = strings.Join(strings.Fields(text), " ")
	if !wordy.MatchString(hole.ReplaceAllString(text, " ")) {
		return
	}
	for one, more := range counted {
		if text == one || text == more {
			p.addPlural(one, more, file)
			return
		}
	}
	p.note(phrase{context, text, ""}, file)
}

func (p phrases) addPlural(one, more, file string) { p.note(phrase{"", one, more}, file) }

func (p phrases) note(what phrase, file string) {
	if p[what] == nil {
		p[what] = make(map[string]bool)
	}
	p[what][filepath.ToSlash(file)] = true
}

// counted are the phrases of one and of more that do not stand in one call of
// say.Counted.
var counted = map[string]string{
	"1 reading":                        "%d readings",
	"profile, 1 bend":                  "profile, %d bends",
	"tray, 1 bend":                     "tray, %d bends",
	"%s browser, this one among them.": "%s browsers, this one among them.",
	"1 other is at this traveler.":     "%d others are at this traveler.",
}

// composed are the words that the code puts together or takes from a list, so
// that they do not stand in it as they stand on a page. TestEveryPageIsInWords of
// package server finds what is missing here.
var composed = []string{
	"ready", "draft", "superseded", "away", "today %s", "sticks", "does not stick", "mild-steel", "galvanised", "stainless", "aluminium", "copper", "brass",
	"millimetres", "inches", "outside", "inside", "down", "up", "either", "inwards", "outwards", "square", "round", "vee", "none",
	"Front side", "Back side", "Left side", "Right side", "Wall, bend angle", "Wall, folded", "Lip, bend angle", "Lip, folded",
	"revision", "base", "Part %s", "(at the brake)", "(in the drawing)", "(in two pieces)", "changed; it was %s", "saved %s",
	"%s blank", "%s bar",
	"Draw a line across the middle.", "Clamp it with the %s bar, the nose set back as for the job.", "Change to the %s.", "%s has this bend open too.",
	"TURN OVER front to back: face %s up", "TURN OVER left to right: face %s up", "TURN OVER on the bend line: face %s up",
	"ROTATE %s CLOCKWISE", "ROTATE %s ANTICLOCKWISE", "ROTATE 180", "TIP the part: %s lies on the bed", "face %s up, %s towards you, %s under the bar",
	"left wall", "left lip", "left return", "left hem", "right wall", "right lip", "right return", "right hem",
	"front wall", "front lip", "front return", "front hem", "back wall", "back lip", "back return", "back hem",
	"%s swings up %s", "%s swings up %s; %s", "at your left stands %s", "at your left stands %s; %s", "at your right stands %s", "at your right stands %s; %s",
	"behind the bar stands %s", "behind the bar stands %s; %s", "towards you stands %s", "towards you stands %s; %s",
	"on", "OFF", "tol. +", "tol. -", "+ spread", "- spread", "closed:", "Release", "Close", "Replace",
	"%s, last first", "Undo: %s",
	"%s, mitre", "%s, from", "%s, to", "%s, width", "%s, bend angle of a lip", "First edge", "Last edge", "Every side",
	"Left wall", "Right wall", "Front wall", "Back wall", "Left edge", "Right edge", "Front edge", "Back edge",
}

// wordy holds for what has a word in it, not signs and single letters only.
var wordy = regexp.MustCompile(`\p{L}{2}`)

// write gives the PO template: phrases in the order of their first file, then of
// the alphabet.
func (p phrases) write() []byte {
	var out bytes.Buffer
	out.WriteString(`# All English that the pages of brakeside show. To translate it, copy this file to
# LANGUAGE.po, name the language in the head, fill in each msgstr, and start the
# service with -words LANGUAGE.po. What is left empty stays English. %s, %d and the
# like are filled in; %2$s is the second of them, where the order must change. Where
# something is counted, msgstr[0] and so on are the forms that your language has, as
# you say in the head after Plural-Forms. A msgctxt tells texts apart that are one in
# English.
# Made by: go test ./templates/words -run TestEnglish -update
msgid ""
msgstr ""
"Language: \n"
"MIME-Version: 1.0\n"
"Content-Type: text/plain; charset=UTF-8\n"
"Content-Transfer-Encoding: 8bit\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\n"
`)
	first := func(text phrase) string { return slices.Min(slices.Collect(maps.Keys(p[text]))) }
	texts := slices.SortedFunc(maps.Keys(p), func(a, b phrase) int {
		return cmp.Or(cmp.Compare(first(a), first(b)), cmp.Compare(a.text, b.text), cmp.Compare(a.context, b.context))
	})
	for _, text := range texts {
		fmt.Fprintf(&out, "\n#: %s\n", strings.Join(slices.Sorted(maps.Keys(p[text])), " "))
		if text.context != "" {
			fmt.Fprintf(&out, "msgctxt %s\n", quoted(text.context))
		}
		fmt.Fprintf(&out, "msgid %s\n", quoted(text.text))
		if text.plural != "" {
			fmt.Fprintf(&out, "msgid_plural %s\nmsgstr[0] \"\"\nmsgstr[1] \"\"\n", quoted(text.plural))
			continue
		}
		out.WriteString("msgstr \"\"\n")
	}
	return out.Bytes()
}

// quoted writes a text as PO does: other letters as they are.
func quoted(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`).Replace(text) + `"`
}

// The marks that stand for what a template does, in the private use area of
// Unicode, while its HTML is taken apart.
const (
	filledIn = '\ue000' // a value
	cut      = '\ue001' // other text may stand here: no phrase runs over it
	either   = '\ue002' // either ... or ... done: one of two texts
	or       = '\ue003'
	done     = '\ue004'
)

func (p phrases) fromPages(t *testing.T) {
	files, err := filepath.Glob(top + "/templates/*.html")
	deeper, err2 := filepath.Glob(top + "/templates/*/*.html")
	if err != nil || err2 != nil || len(files) == 0 || len(deeper) == 0 {
		t.Fatal(err, err2, files, deeper)
	}
	for _, file := range append(files, deeper...) {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		trees := map[string]*parse.Tree{}
		tree := parse.New(file)
		tree.Mode = parse.SkipFuncCheck
		if _, err := tree.Parse(string(text), "{{", "}}", trees); err != nil {
			t.Fatal(err)
		}
		name, _ := filepath.Rel(top, file)
		for _, tree := range trees {
			p.fromHTML(flat(tree.Root), name)
		}
	}
}

// flat writes a template as text with marks.
func flat(n parse.Node) string {
	switch n := n.(type) {
	case *parse.ListNode:
		var out strings.Builder
		if n != nil {
			for _, child := range n.Nodes {
				out.WriteString(flat(child))
			}
		}
		return out.String()
	case *parse.TextNode:
		return string(n.Text)
	case *parse.ActionNode:
		if len(n.Pipe.Decl) > 0 {
			return ""
		}
		if text, ok := n.Pipe.Cmds[0].Args[0].(*parse.StringNode); ok {
			return text.Text
		}
		return string(filledIn)
	case *parse.IfNode:
		return choice(flat(n.List), flat(n.ElseList))
	case *parse.WithNode:
		return choice(flat(n.List), flat(n.ElseList))
	case *parse.RangeNode:
		return string(cut) + flat(n.List) + string(cut) + flat(n.ElseList) + string(cut)
	case *parse.TemplateNode:
		return string(cut)
	}
	return ""
}

// choice marks two texts of which one is shown. One with tags in it ends the
// phrase around it.
func choice(a, b string) string {
	if strings.ContainsAny(a+b, "<>"+string(cut)) {
		return string(cut) + a + string(cut) + b + string(cut)
	}
	return string(either) + a + string(or) + b + string(done)
}

func (p phrases) fromHTML(text, file string) {
	tokens := html.NewTokenizer(strings.NewReader(text))
	var around surroundings
	for tokens.Next() != html.ErrorToken {
		token := tokens.Token()
		switch token.Type {
		case html.TextToken:
			p.marked(around.innermost().context, token.Data, file)
		case html.StartTagToken, html.SelfClosingTagToken:
			holds, _ := around.with(token)
			for _, a := range token.Attr {
				if spoken[a.Key] {
					p.marked(holds.context, a.Val, file)
				}
			}
			if token.Type == html.StartTagToken {
				around = around.began(token)
			}
		case html.EndTagToken:
			around = around.ended()
		}
	}
}

// marked adds every text that a text with marks can become.
func (p phrases) marked(context, text, file string) {
	for _, piece := range strings.FieldsFunc(text, func(c rune) bool { return c == cut }) {
		for _, one := range ways(strings.ReplaceAll(piece, "%", "%%")) {
			p.add(context, strings.ReplaceAll(one, string(filledIn), "%s"), file)
		}
	}
}

// ways gives every text that the choices in a text can come to. A choice that
// was cut in two by tags is taken as both its parts.
func ways(text string) []string {
	begin := strings.LastIndex(text, string(either))
	if begin < 0 {
		return strings.FieldsFunc(text, func(c rune) bool { return c == or || c == done })
	}
	before, after := text[:begin], text[begin+len(string(either)):]
	inner, rest, whole := strings.Cut(after, string(done))
	a, b, both := strings.Cut(inner, string(or))
	if !whole || !both {
		return append(ways(before), ways(after)...)
	}
	return append(ways(before+a+rest), ways(before+b+rest)...)
}

func (p phrases) fromCode(t *testing.T) {
	for _, folder := range speaking {
		err := filepath.WalkDir(filepath.Join(top, folder), func(file string, entry os.DirEntry, err error) error {
			if err != nil || entry.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") ||
				strings.Contains(filepath.ToSlash(file), "/internal/") {
				return err
			}
			return p.fromFile(file)
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

func (p phrases) fromFile(file string) error {
	tree, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	name, _ := filepath.Rel(top, file)
	slash := filepath.ToSlash(name)
	collect := func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field: // its tag is no text
			return false
		case *ast.CallExpr:
			p.counts(n, name)
			return !unread(n)
		case *ast.BinaryExpr: // a long text goes over several lines
			if text, ok := joined(n); ok {
				p.literal(strconv.Quote(text), name, strings.HasPrefix(slash, "server/"))
				return false
			}
		case *ast.BasicLit:
			if n.Kind == token.STRING {
				p.literal(n.Value, name, strings.HasPrefix(slash, "server/"))
			}
		}
		return true
	}
	if strings.HasPrefix(slash, "server/store/") { // of the store only refusals come to a page
		ast.Inspect(tree, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok && refuses(call) {
				ast.Inspect(call, collect)
			}
			return true
		})
		return nil
	}
	ast.Inspect(tree, collect)
	return nil
}

// joined is the text of strings that stand one after the other, joined with +.
func joined(e ast.Expr) (text string, ok bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return text, err == nil && e.Kind == token.STRING
	case *ast.BinaryExpr:
		left, one := joined(e.X)
		right, other := joined(e.Y)
		return left + right, one && other && e.Op == token.ADD
	}
	return "", false
}

// refuses reports whether a call makes a refusal.
func refuses(call *ast.CallExpr) bool {
	name, ok := call.Fun.(*ast.SelectorExpr)
	if !ok || name.Sel.Name != "New" {
		return false
	}
	from, ok := name.X.(*ast.Ident)
	return ok && from.Name == "fault"
}

// counts adds what a call of say.Counted says of one and of more.
func (p phrases) counts(call *ast.CallExpr, file string) {
	name, ok := call.Fun.(*ast.SelectorExpr)
	if !ok || name.Sel.Name != "Counted" || len(call.Args) != 2 {
		return
	}
	if what, ok := call.Args[1].(*ast.BasicLit); ok && what.Kind == token.STRING {
		text, _ := strconv.Unquote(what.Value)
		p.addPlural("1 "+text, "%d "+text+"s", file)
	}
}

// unread reports whether the words of a call are for the log or for a
// programmer.
func unread(call *ast.CallExpr) bool {
	name, ok := call.Fun.(*ast.SelectorExpr)
	if !ok {
		return false
	}
	switch name.Sel.Name {
	case "Errorf", "Info", "Warn", "Error", "Debug", "MustCompile", "QueryContext", "ExecContext":
		return name.Sel.Name != "Error" || len(call.Args) > 0
	}
	return false
}

var (
	sentence = regexp.MustCompile(`\p{L}.* .*\p{L}`)
	label    = regexp.MustCompile(`^\p{Lu}\p{Ll}{2,}[.:?!]?$`)
	notWords = regexp.MustCompile(`%w|^\s*[a-z]+/|text/|[a-z]="|</|\b(SELECT|default-src|max-age|Basic|no-store|charset|noopener)\b|^[a-z]+-[a-z]+$|panic|DXF$`)
)

// literal adds a text of the code if it is words: of several words, or, on a
// page, one that begins with a capital.
func (p phrases) literal(quoted, file string, onPages bool) {
	text, err := strconv.Unquote(quoted)
	if err != nil || notWords.MatchString(text) {
		return
	}
	if sentence.MatchString(text) || onPages && label.MatchString(strings.TrimSpace(text)) {
		p.add("", text, file)
	}
}
