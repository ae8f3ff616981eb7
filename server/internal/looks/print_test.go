package looks_test

import (
	"context"
	"encoding/xml"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
	"brakeside/testdata/suite"
)

// printed is a page as a browser prints it, as poppler reads the PDF: the words of
// each leaf of paper with the places where they stand, in points from its upper left.
type printed struct {
	Leaves []leaf `xml:"body>doc>page"`
}

type leaf struct {
	Width float64       `xml:"width,attr"`
	Words []printedWord `xml:"word"`
}

type printedWord struct {
	Left   float64 `xml:"xMin,attr"`
	Top    float64 `xml:"yMin,attr"`
	Right  float64 `xml:"xMax,attr"`
	Bottom float64 `xml:"yMax,attr"`
	Text   string  `xml:",chardata"`
}

// papers are those that offices print on, in inches: ISO 216 and ANSI/ASME Y14.1.
var papers = []struct {
	name          string
	width, height float64
}{{"A4", 210 / 25.4, 297 / 25.4}, {"letter", 8.5, 11}}

// Every page of the office is printed on both papers: tables as tables with their
// heads, nothing beyond the edge, no word over another, and nothing to press.
func TestOfficePrints(t *testing.T) {
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("pdftotext is not installed, and this run must not skip its tests")
		}
		t.Skip("pdftotext is not installed: apt-get install poppler-utils")
	}
	for _, fill := range shoptest.Shops {
		s, session, samples := fill(t)
		samples = slices.DeleteFunc(samples, func(v shoptest.Sample) bool { return v.Form != nil })
		tab := tabs(s, t, shoptest.Screen{Width: 1280, Height: 900}, session)
		for i, v := range samples {
			d, _ := tab(i)
			opens(d, v)
			heads := strings.Split(d.Eval(tableHeads), "\n")
			d.Media("print")
			if bare := d.Eval(bareHeadings); bare != "" {
				t.Errorf("%s: nothing is printed under %s", v.Name, bare)
			}
			d.Media("")
			for way, paper := range papers {
				if !suite.InTurn(i, way, len(papers)) {
					continue
				}
				file := onPaper(d, v.Name+"-"+paper.name, paper.width, paper.height)
				looksPrinted(t, v.Name+" on "+paper.name, read(t, reader, file), heads)
			}
		}
	}
}

// tableHeads are the columns of each table that is seen, a line each.
const tableHeads = `[...document.querySelectorAll("table.list thead tr")].filter((r) => r.checkVisibility() && !r.closest("form")).map((r) =>
	[...r.cells].map((c) => c.textContent.trim()).join(" ")).join("\n")`

// bareHeadings are those that have nothing below them.
const bareHeadings = `[...document.querySelectorAll("main :is(h2, h3)")].filter((h) => h.checkVisibility() && h.nextElementSibling).filter((h) => {
	for (let e = h.nextElementSibling; e && !(/^H[1-6]$/.test(e.tagName) && e.tagName <= h.tagName); e = e.nextElementSibling) {
		if (e.checkVisibility() && (e.textContent.trim() || e.querySelector("svg, img"))) return false;
	}
	return true;
}).map((h) => h.textContent.trim()).join(", ")`

// onPaper prints the page that is open and gives the file.
func onPaper(d *shoptest.Device, name string, width, height float64) string {
	d.T.Helper()
	tab, cancel := context.WithTimeout(d.Tab, shoptest.Patience)
	defer cancel()
	made, err := chromedp.Call(tab, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: width, PaperHeight: height})
	if err != nil {
		d.T.Fatal(err)
	}
	folder := *shoptest.Pictures
	if folder == "" {
		folder = d.T.TempDir()
	}
	file := filepath.Join(folder, "print-"+name+".pdf")
	if err := os.WriteFile(file, made.Data, 0o644); err != nil {
		d.T.Fatal(err)
	}
	return file
}

func read(t *testing.T, reader, file string) (p printed) {
	t.Helper()
	text, err := exec.Command(reader, "-bbox", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	if err := xml.Unmarshal(text, &p); err != nil {
		t.Fatal(err)
	}
	return p
}

// looksPrinted fails for what is wrong on paper.
func looksPrinted(t *testing.T, name string, p printed, heads []string) {
	t.Helper()
	var all []string
	for _, l := range p.Leaves {
		for n, w := range l.Words {
			all = append(all, w.Text)
			if w.Left < 0 || w.Right > l.Width {
				t.Errorf("%s: %q runs over the edge of the paper", name, w.Text)
			}
			for _, other := range l.Words[:n] {
				if over(w, other) {
					t.Errorf("%s: %q and %q stand on one another", name, w.Text, other.Text)
				}
			}
		}
	}
	text := strings.Join(all, " ")
	for _, head := range heads {
		for _, word := range strings.FieldsFunc(head, func(r rune) bool { return r == ' ' || r == '-' }) { // a line may end at either
			if !strings.Contains(text, word) {
				t.Errorf("%s: the head %q of a table is not printed", name, head)
				break
			}
		}
	}
	if strings.Contains(text, "Sign out") {
		t.Errorf("%s: the menu is printed", name)
	}
}

// over says whether two words cover each other by more than a third of a letter.
func over(a, b printedWord) bool {
	high := min(a.Bottom, b.Bottom) - max(a.Top, b.Top)
	wide := min(a.Right, b.Right) - max(a.Left, b.Left)
	letter := min(a.Bottom-a.Top, b.Bottom-b.Top)
	return high > letter/3 && wide > letter/3
}

// runTogether lists what stands in two cells of a table with no gap of half a letter
// between, and plain words that are broken over two lines.
const runTogether = `(() => {
	const rects = (node, from, to) => {
		const range = document.createRange();
		range.setStart(node, from), range.setEnd(node, to);
		return [...range.getClientRects()].filter((r) => r.width > 0);
	};
	const wrong = [];
	for (const table of document.querySelectorAll("table.list")) {
		const seen = [], texts = document.createTreeWalker(table, NodeFilter.SHOW_TEXT);
		for (let node; (node = texts.nextNode());) {
			const cell = node.parentElement.closest("td, th");
			if (!cell || !cell.checkVisibility()) continue;
			for (const word of node.data.matchAll(/\S+/gu)) {
				const boxes = rects(node, word.index, word.index + word[0].length);
				if (boxes.length > 1 && /^\p{Script=Latin}{2,12}$/u.test(word[0])) wrong.push("broken: " + word[0]);
				for (const r of boxes) if (r.right > 0) seen.push({ cell, r, word: word[0] });
			}
		}
		for (const a of seen) for (const b of seen) {
			const level = Math.min(a.r.bottom, b.r.bottom) - Math.max(a.r.top, b.r.top) > 2, gap = b.r.left - a.r.left >= 0 ? b.r.left - a.r.right : 9;
			if (a.cell !== b.cell && level && gap < 8) wrong.push(a.word + " runs into " + b.word);
		}
	}
	return wrong.join("\n");
})()`

// What stands in one cell of a table never runs into the cell beside it, at any width.
func TestFiguresStayApart(t *testing.T) {
	widths := []int64{390, 720, 840, 900, 1024, 1280}
	for _, fill := range shoptest.Shops {
		s, session, samples := fill(t)
		tab := tabs(s, t, shoptest.Screen{Width: 1280, Height: 900}, session)
		for i, v := range samples {
			if v.Form != nil || !suite.InTurn(i, 0, 2) {
				continue
			}
			d, _ := tab(i)
			opens(d, v)
			for way, width := range widths {
				if !suite.InTurn(i/2, way%3, 3) {
					continue
				}
				d.Becomes(shoptest.Screen{Width: width, Height: 900})
				if cells := d.Eval(runTogether); cells != "" {
					t.Errorf("%s", fmt.Sprintf("%s at %d:\n%s", v.Name, width, cells))
				}
			}
		}
	}
}
