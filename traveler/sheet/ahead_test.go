package sheet

import (
	"bytes"
	"context"
	"testing"

	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/pdf"
)

// A sheet that was readied ahead is the same as one that was not; and readying
// ends when it is told to, and of itself.
func TestAheadChangesNothing(t *testing.T) {
	bytesOf := func() []byte {
		doc, err := Document(fixture.Cover())
		if err != nil {
			t.Fatal(err)
		}
		var file bytes.Buffer
		if err := pdf.Write(&file, doc); err != nil {
			t.Fatal(err)
		}
		return file.Bytes()
	}
	want := bytesOf()
	Ahead(context.Background(), fixture.Cover().Address)
	if got := bytesOf(); !bytes.Equal(got, want) {
		t.Error("readied ahead, the sheet has other bytes")
	}
	used := map[marks.Face]bool{}
	for _, page := range pagesOf(t, fixture.Cover()) {
		for _, m := range page.Marks {
			if text, ok := m.(marks.Text); ok {
				used[text.Face] = true
			}
		}
	}
	if len(used) != 2 || !used[marks.Regular] || !used[marks.Bold] {
		t.Errorf("a sheet uses the faces %v, others are readied", used)
	}
	done, end := context.WithCancel(context.Background())
	end()
	Ahead(done, "http://192.0.2.7:8080/t/never")
	Ahead(context.Background(), "no plain letters: \u00e9") // refused when it is printed
}
