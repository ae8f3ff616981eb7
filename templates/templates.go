// Package templates holds the pages the service shows and the files they use.
//
// A page is parsed with layout.html and only places ready words: it works out
// nothing. All English text that a person at the brake or in the office reads
// on a screen stands here, or in the view that fills the page.
package templates

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"regexp"
	"strings"
	"text/template/parse"

	"brakeside/templates/words"
)

//go:embed layout.html office.html review.html step.html owner/*.html operator/*.html
var pages embed.FS

// Set is every page, parsed.
type Set struct {
	pages  map[string]*template.Template
	digest string
}

// Digest changes with the text of the pages.
func (s *Set) Digest() string { return s.digest }

// common are the files whose blocks all pages may use.
var common = []string{"layout.html", "office.html", "review.html", "step.html"}

// Parse reads all pages. A page that does not parse, or a static file that a
// page names and that does not exist, is an error, so that the service does not
// start with it.
func Parse() (*Set, error) {
	files, err := fs.Glob(pages, "*/*.html")
	if err != nil {
		return nil, fmt.Errorf("list the pages: %w", err)
	}
	set, sum := &Set{pages: make(map[string]*template.Template, len(files))}, sha256.New()
	layout := empty()
	for _, file := range common {
		if err := parsed(layout, file, sum); err != nil {
			return nil, err
		}
	}
	for _, file := range files {
		page := empty()
		if err := parsed(page, file, sum); err != nil {
			return nil, err
		}
		if err := furnish(page, layout); err != nil {
			return nil, fmt.Errorf("furnish the page %s: %w", file, err)
		}
		set.pages[strings.TrimSuffix(file, ".html")] = page
	}
	set.digest = hex.EncodeToString(sum.Sum(nil))
	return set, nil
}

// empty is a page with nothing on it yet. What people typed is filled in with typed,
// so that it is never taken for a phrase.
func empty() *template.Template {
	return template.New("").Option("missingkey=error").Funcs(template.FuncMap{"typed": words.Typed})
}

// assetNamed finds where a page names a static file.
var assetNamed = regexp.MustCompile(`\{\{asset "([^"]+)"\}\}`)

// parsed adds the blocks of a file to a page, and its text to the digest. The
// addresses of static files are put in here, once.
func parsed(page *template.Template, file string, digest io.Writer) error {
	text, err := pages.ReadFile(file)
	if err == nil {
		_, err = digest.Write(text)
	}
	if err != nil {
		return fmt.Errorf("read the page %s: %w", file, err)
	}
	text = assetNamed.ReplaceAllFunc(text, func(found []byte) []byte {
		address, missing := Asset(string(assetNamed.FindSubmatch(found)[1]))
		err = errors.Join(err, missing)
		return []byte(address)
	})
	if err == nil {
		_, err = page.New(file).Parse(string(text))
	}
	if err != nil {
		return fmt.Errorf("parse the page %s: %w", file, err)
	}
	return nil
}

// furnish gives a page the blocks of the layout that it uses, itself or through others,
// and has none of its own for. Each page is given copies, for filling it changes them;
// with all blocks in all pages they would be most of what a quiet service holds.
func furnish(page, layout *template.Template) error {
	open := []string{"layout"}
	for _, t := range page.Templates() {
		open = append(open, blocksIn(t.Tree)...)
	}
	for len(open) > 0 {
		name := open[0]
		open = open[1:]
		shared := layout.Lookup(name)
		if page.Lookup(name) != nil || shared == nil {
			continue
		}
		if _, err := page.AddParseTree(name, shared.Tree.Copy()); err != nil {
			return err
		}
		open = append(open, blocksIn(shared.Tree)...)
	}
	return nil
}

// blocksIn names the blocks that a template is filled with.
func blocksIn(t *parse.Tree) (names []string) {
	if t == nil {
		return nil
	}
	var look func(list *parse.ListNode)
	branch := func(b *parse.BranchNode) { look(b.List); look(b.ElseList) }
	look = func(list *parse.ListNode) {
		if list == nil {
			return
		}
		for _, node := range list.Nodes {
			switch n := node.(type) {
			case *parse.TemplateNode:
				names = append(names, n.Name)
			case *parse.IfNode:
				branch(&n.BranchNode)
			case *parse.RangeNode:
				branch(&n.BranchNode)
			case *parse.WithNode:
				branch(&n.BranchNode)
			}
		}
	}
	look(t.Root)
	return names
}

// Names lists the pages, such as "operator/bend".
func (s *Set) Names() []string {
	names := make([]string, 0, len(s.pages))
	for name := range s.pages {
		names = append(names, name)
	}
	return names
}

// Write fills the page of that name with the view and writes it. What was
// written before an error is not a whole page: write to a buffer.
func (s *Set) Write(w io.Writer, name string, view any) error {
	return s.WriteBlock(w, Block{name, "layout"}, view)
}

// Block is a part of a page that is defined by a name of its own.
type Block struct{ Page, Name string }

// WriteBlock fills one block of a page and writes it, for a script that renews
// a part of the page.
func (s *Set) WriteBlock(w io.Writer, b Block, view any) error {
	page, ok := s.pages[b.Page]
	if !ok {
		return fmt.Errorf("there is no page %q", b.Page)
	}
	if err := page.ExecuteTemplate(w, b.Name, view); err != nil {
		return fmt.Errorf("fill %s of the page %s: %w", b.Name, b.Page, err)
	}
	return nil
}
