package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// mutant is one change of one file: what stands at offset becomes new.
type mutant struct {
	folder, file string // file with its folder, from the top of the project
	line, offset int
	old, new     string
}

func (m mutant) String() string { return fmt.Sprintf("%s:%d: %s for %s", m.file, m.line, m.new, m.old) }

// text gives the file as the mutant has it.
func (m mutant) text() ([]byte, error) {
	text, err := os.ReadFile(m.file)
	if err != nil {
		return nil, err
	}
	return slices.Concat(text[:m.offset], []byte(m.new), text[m.offset+len(m.old):]), nil
}

// other is what a comparison is changed to: each is wrong on the threshold
// alone, where a case on each side of it is the only thing that notices.
var other = map[token.Token]token.Token{
	token.LSS: token.LEQ, token.LEQ: token.LSS,
	token.GTR: token.GEQ, token.GEQ: token.GTR,
	token.EQL: token.NEQ, token.NEQ: token.EQL,
}

// mutants gives all mutants of the files of a folder, in the order of names and
// lines. Tests have none.
func mutants(folder string) ([]mutant, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		return nil, err
	}
	var out []mutant
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		set := token.NewFileSet()
		tree, err := parser.ParseFile(set, file, nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		ast.Inspect(tree, func(n ast.Node) bool {
			place, old, changed := change(n)
			for _, c := range changed {
				at := set.Position(place)
				out = append(out, mutant{filepath.ToSlash(folder), filepath.ToSlash(file), at.Line, at.Offset, old, c})
			}
			return true
		})
	}
	return out, nil
}

// change tells where a node can be changed, what stands there, and to what it
// is changed, one at a time.
func change(n ast.Node) (place token.Pos, old string, changed []string) {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		if o, ok := other[n.Op]; ok {
			return n.OpPos, n.Op.String(), []string{o.String()}
		}
	case *ast.BasicLit:
		return n.Pos(), n.Value, figures(n)
	}
	return 0, "", nil
}

// figures gives the figures that a figure is changed to: twice and half of it;
// 0 becomes 1 and 1 becomes 2. Other literals have none.
func figures(n *ast.BasicLit) []string {
	switch n.Kind {
	case token.INT:
		v, err := strconv.ParseInt(n.Value, 0, 64)
		switch {
		case err != nil || v > math.MaxInt32:
			return nil
		case v < 2:
			return []string{strconv.FormatInt(v+1, 10)}
		}
		return []string{strconv.FormatInt(2*v, 10), strconv.FormatInt(v/2, 10)}
	case token.FLOAT:
		v, err := strconv.ParseFloat(n.Value, 64)
		if err != nil || v == 0 {
			return nil
		}
		return []string{strconv.FormatFloat(2*v, 'g', -1, 64), strconv.FormatFloat(v/2, 'g', -1, 64)}
	}
	return nil
}
