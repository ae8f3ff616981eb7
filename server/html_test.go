package server

import (
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// parsed reads a page.
func parsed(t testing.TB, page string) *html.Node {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatalf("parse the page: %v", err)
	}
	return root
}

// all gives the elements below a node that a test picks, in order.
func all(root *html.Node, pick func(*html.Node) bool) []*html.Node {
	var found []*html.Node
	for n := range root.Descendants() {
		if n.Type == html.ElementNode && pick(n) {
			found = append(found, n)
		}
	}
	return found
}

// named picks elements by their tag.
func named(tag string) func(*html.Node) bool {
	return func(n *html.Node) bool { return n.Data == tag }
}

// classed picks elements that have a class.
func classed(class string) func(*html.Node) bool {
	return func(n *html.Node) bool {
		return strings.Contains(" "+attribute(n, "class")+" ", " "+class+" ")
	}
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, name string) bool {
	for _, a := range n.Attr {
		if a.Key == name {
			return true
		}
	}
	return false
}

// wordsIn gives the text of a node with single blanks.
func wordsIn(n *html.Node) string {
	var text strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			text.WriteString(d.Data + " ")
		}
	}
	return strings.Join(strings.Fields(text.String()), " ")
}

// one gives the only element that is picked.
func one(t testing.TB, root *html.Node, pick func(*html.Node) bool) *html.Node {
	t.Helper()
	found := all(root, pick)
	if len(found) != 1 {
		t.Fatalf("%d such elements on the page, want 1; it says: %s", len(found), wordsIn(root))
	}
	return found[0]
}

// filled gives what a browser would send for a form as it stands.
func filled(form *html.Node) url.Values {
	values := url.Values{}
	for _, field := range all(form, named("input")) {
		name, kind := attribute(field, "name"), attribute(field, "type")
		if name == "" || ((kind == "radio" || kind == "checkbox") && !has(field, "checked")) {
			continue
		}
		values.Add(name, attribute(field, "value"))
	}
	return values
}

// checkPage makes sure of what holds for every page: one heading, a language, a
// title, a label for every field, no script or style of its own.
func checkPage(t testing.TB, page string) {
	t.Helper()
	root := parsed(t, page)
	if lang := attribute(one(t, root, named("html")), "lang"); lang != "en" {
		t.Errorf("language %q, want en", lang)
	}
	head := one(t, root, named("head"))
	if title := wordsIn(one(t, head, named("title"))); title == "" {
		t.Error("the page has no title")
	}
	checkFields(t, root)
	for _, n := range all(root, func(n *html.Node) bool { return has(n, "style") || n.Data == "style" }) {
		t.Errorf("<%s> brings its own style", n.Data)
	}
	for _, n := range all(root, named("script")) {
		if !has(n, "src") {
			t.Error("a script stands in the page")
		}
	}
	for _, n := range all(root, named("a")) {
		if to := attribute(n, "href"); strings.HasPrefix(to, "http") || to == "" {
			t.Errorf("a link leads to %q", to)
		}
	}
}

// checkFields makes sure that every field that is seen has a label, and that no
// two elements have one id.
func checkFields(t testing.TB, root *html.Node) {
	t.Helper()
	labelled := make(map[string]bool)
	for _, label := range all(root, named("label")) {
		labelled[attribute(label, "for")] = true
		for _, inner := range all(label, named("input")) {
			labelled[attribute(inner, "name")+attribute(inner, "value")] = true
		}
	}
	for _, tag := range []string{"input", "select", "textarea"} {
		for _, field := range all(root, named(tag)) {
			if attribute(field, "type") == "hidden" || attribute(field, "aria-label") != "" {
				continue
			}
			if !labelled[attribute(field, "id")] && !labelled[attribute(field, "name")+attribute(field, "value")] {
				t.Errorf("the field %q has no label", attribute(field, "name"))
			}
		}
	}
	seen := make(map[string]bool)
	for _, n := range all(root, func(n *html.Node) bool { return has(n, "id") }) {
		if seen[attribute(n, "id")] {
			t.Errorf("two elements have the id %q", attribute(n, "id"))
		}
		seen[attribute(n, "id")] = true
	}
}
