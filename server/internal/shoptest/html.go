package shoptest

import (
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// Parsed reads a page.
func Parsed(t testing.TB, page string) *html.Node {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatalf("parse the page: %v", err)
	}
	return root
}

// All gives the elements below a node that a test picks, in order.
func All(root *html.Node, pick func(*html.Node) bool) []*html.Node {
	var found []*html.Node
	for n := range root.Descendants() {
		if n.Type == html.ElementNode && pick(n) {
			found = append(found, n)
		}
	}
	return found
}

// Named picks elements by their tag.
func Named(tag string) func(*html.Node) bool {
	return func(n *html.Node) bool { return n.Data == tag }
}

// Classed picks elements that have a class.
func Classed(class string) func(*html.Node) bool {
	return func(n *html.Node) bool {
		return strings.Contains(" "+Attribute(n, "class")+" ", " "+class+" ")
	}
}

// Attribute gives an attribute, empty when it is not there.
func Attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// Has reports whether an attribute is there.
func Has(n *html.Node, name string) bool {
	for _, a := range n.Attr {
		if a.Key == name {
			return true
		}
	}
	return false
}

// WordsIn gives the text of a node with single blanks.
func WordsIn(n *html.Node) string {
	var text strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			text.WriteString(d.Data + " ")
		}
	}
	return strings.Join(strings.Fields(text.String()), " ")
}

// One gives the only element that is picked.
func One(t testing.TB, root *html.Node, pick func(*html.Node) bool) *html.Node {
	t.Helper()
	found := All(root, pick)
	if len(found) != 1 {
		t.Fatalf("%d such elements on the page, want 1; it says: %s", len(found), WordsIn(root))
	}
	return found[0]
}

// Filled gives what a browser would send for a form as it stands.
func Filled(form *html.Node) url.Values {
	values := url.Values{}
	for _, field := range All(form, Named("input")) {
		name, kind := Attribute(field, "name"), Attribute(field, "type")
		if name == "" || ((kind == "radio" || kind == "checkbox") && !Has(field, "checked")) {
			continue
		}
		values.Add(name, Attribute(field, "value"))
	}
	return values
}

// CheckPage makes sure of what holds for every page: one heading, a language, a
// title, a label for every field, no script or style of its own.
func CheckPage(t testing.TB, page string) {
	t.Helper()
	root := Parsed(t, page)
	if lang := Attribute(One(t, root, Named("html")), "lang"); lang != "en" {
		t.Errorf("language %q, want en", lang)
	}
	head := One(t, root, Named("head"))
	if title := WordsIn(One(t, head, Named("title"))); title == "" {
		t.Error("the page has no title")
	}
	checkFields(t, root)
	for _, n := range All(root, func(n *html.Node) bool { return Has(n, "style") || n.Data == "style" }) {
		t.Errorf("<%s> brings its own style", n.Data)
	}
	for _, n := range All(root, Named("script")) {
		if !Has(n, "src") {
			t.Error("a script stands in the page")
		}
	}
	for _, n := range All(root, Named("a")) {
		if to := Attribute(n, "href"); strings.HasPrefix(to, "http") || to == "" {
			t.Errorf("a link leads to %q", to)
		}
	}
}

// checkFields makes sure that every field that is seen has a label, and that no
// two elements have one id.
func checkFields(t testing.TB, root *html.Node) {
	t.Helper()
	labelled := make(map[string]bool)
	for _, label := range All(root, Named("label")) {
		labelled[Attribute(label, "for")] = true
		for _, inner := range All(label, Named("input")) {
			labelled[Attribute(inner, "name")+Attribute(inner, "value")] = true
		}
	}
	for _, tag := range []string{"input", "select", "textarea"} {
		for _, field := range All(root, Named(tag)) {
			if Attribute(field, "type") == "hidden" || Attribute(field, "aria-label") != "" {
				continue
			}
			if !labelled[Attribute(field, "id")] && !labelled[Attribute(field, "name")+Attribute(field, "value")] {
				t.Errorf("the field %q has no label", Attribute(field, "name"))
			}
		}
	}
	seen := make(map[string]bool)
	for _, n := range All(root, func(n *html.Node) bool { return Has(n, "id") }) {
		if seen[Attribute(n, "id")] {
			t.Errorf("two elements have the id %q", Attribute(n, "id"))
		}
		seen[Attribute(n, "id")] = true
	}
}
