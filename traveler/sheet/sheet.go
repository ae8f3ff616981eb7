// Package sheet lays a traveler out on paper: the sheet that is clipped to the
// brake.
//
// It reads only the frozen snapshot, so that the same traveler gives the same
// pages for ever. Lengths are millimetres on paper. The first page carries the
// head, the blank and what to do before the first bend; then comes one row for each
// bend, which is never broken across pages; then, for more pieces than one, a table
// to write angles in by hand. The cautions of every job stand behind the blank, or
// behind the rows where those would otherwise need a page more.
//
// Sizes of type, weights of line and what stands where follow what can be read
// at arm's length through grease (common practice, no source).
package sheet

import (
	"fmt"
	"slices"
	"time"

	"brakeside/traveler"
	"brakeside/traveler/blank"
	"brakeside/traveler/caution"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/pdf"
	"brakeside/traveler/phrase"
)

// Pages lays the traveler out on the paper it names, a4 or letter. It refuses
// an address that no QR code holds (fault.Invalid, fault.TooLarge); a paper it
// does not know is a mistake of the program.
func Pages(t *traveler.Traveler) ([]*draw.Page, error) {
	s, err := page.New(t)
	if err != nil {
		return nil, fmt.Errorf("sheet %s: %w", t.Code, err)
	}
	if s.Codes, err = page.CodesOf(t); err != nil {
		return nil, err
	}
	blank, steps := whatItIs(s), append(steps(s), stack(s)...)
	general := []page.Block{caution.General(s)}
	s.Fill(s.Better(
		slices.Concat(blank, general, beforeTheFirst(s, ""), steps, grids(s)),
		slices.Concat(blank, beforeTheFirst(s, wordsBehind), steps, general, grids(s)),
	))
	return s.Finish(), nil
}

// whatItIs is what is made and of what.
func whatItIs(s *page.Set) []page.Block {
	return append([]page.Block{head(s)}, blank.Blocks(s)...)
}

// beforeTheFirst is what is true of the part, and what to do before the first bend,
// with where the cautions of every job stand unless they have been read on the way.
func beforeTheFirst(s *page.Set, cautions string) []page.Block {
	blocks := partCautions(s)
	if sizesEnd(s) != "" {
		blocks = append(blocks, pastSquare(s))
	}
	return slices.Concat(blocks, []page.Block{prepare(s, phrase.Prepare(s.Brake, cautions))}, overview(s), strips(s))
}

// steps are the rows in the order in which they are done.
func steps(s *page.Set) (blocks []page.Block) {
	for i := range s.Steps {
		blocks = append(blocks, row(s, i))
		if s.Steps[i].Flattening != nil {
			blocks = append(blocks, flattenRow(s, i))
		}
	}
	return blocks
}

// Document gives the pages with what a reader of the file shows of them. Its
// date is the moment the traveler was issued. It fails as Pages does, and on a
// moment that is no RFC 3339 time, which Freeze never writes.
func Document(t *traveler.Traveler) (pdf.Document, error) {
	pages, err := Pages(t)
	if err != nil {
		return pdf.Document{}, err
	}
	issued, err := time.Parse(time.RFC3339, t.IssuedAt)
	if err != nil {
		return pdf.Document{}, fmt.Errorf("sheet %s: issued at: %w", t.Code, err)
	}
	return pdf.Document{
		Title:   phrase.Title(t),
		Author:  t.IssuedBy + ", " + t.Shop,
		Subject: phrase.Plan(t),
		Created: issued,
		Pages:   pages,
	}, nil
}
