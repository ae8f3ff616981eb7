package parts_test

import (
	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// What a list of parts says is a draft a row, and the list that is sent out makes the
// same profiles again, in the format of either spreadsheet.
func TestPartsComeAndGoAsLists(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	list := "number,title,material,thickness,length,legs,bends\r\nRB-1,Foot,mild-steel,1.5,640,34 52,90\r\nRB-2,\"Hat, small\",304,1,300,12.5 30 40 30 12.5,-90 90 90 -90\r\n"
	s.Send("/parts/import", url.Values{"text": {list}}, owner)
	before, err := s.Store.Newest(t.Context(), store.Parts)
	if err != nil || len(before) != 2 || before[1].Title != "Hat, small" || before[1].Revision != "A" {
		t.Fatalf("kept %+v, %v", before, err)
	}
	for _, decimal := range []string{".", ","} {
		if err := s.Store.KeepSetting(t.Context(), store.SettingDecimal, decimal); err != nil {
			t.Fatal(err)
		}
		for _, address := range []string{"/parts.csv", "/parts.csv?for=spreadsheet"} {
			answer, out := s.Get(address, owner)
			if answer.StatusCode != http.StatusOK || strings.Contains(out, "1,5") != (decimal == "," && strings.Contains(address, "spreadsheet")) {
				t.Errorf("%s with %q = %d %s", address, decimal, answer.StatusCode, out)
			}
			s.Send("/parts/import", url.Values{"text": {out}}, owner)
			after, err := s.Store.Newest(t.Context(), store.Parts)
			if err != nil || len(after) != 2 || string(after[0].JSON) != string(before[0].JSON) || string(after[1].JSON) != string(before[1].JSON) {
				t.Errorf("%s with %q makes %s and %s, %v", address, decimal, after[0].JSON, after[1].JSON, err)
			}
		}
	}
}

// A list with something wrong keeps nothing, and says at which line and column.
func TestPartsListRefuses(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	head := "number,material,thickness,length,legs,bends\n"
	for rows, want := range map[string]string{
		"RB-1,mild-steel,1.5,640,34 52,90\nRB-2,mild-steel,1.5,640,34 52,square\n": "Line 3, column 31 (bends)",
		"RB-1,mild-steel,1.5,640,34 52,180\n":                                      "cannot be bent",
		"RB-1,gold,1.5,640,34 52,90\n":                                             "Line 2, column 6 (material)",
		"RB-1,mild-steel,1.5,640,34 52,90\nRB-1,mild-steel,1.5,640,34 52,90\n":     "Line 3, column 1 (number): Part RB-1 revision A is there twice",
		"RB-1,mild-steel,1.5,640,2 52,90\n":                                        "Line 2",
		"":                                                                         "The list has 0 parts",
	} {
		if got := shoptest.FaultBeside(t, s.Refused("/parts/import", url.Values{"text": {head + rows}}, owner), "text"); !strings.Contains(got, want) {
			t.Errorf("%q: beside the list stands %q, want %q", rows, got, want)
		}
	}
	if kept, err := s.Store.Newest(t.Context(), store.Parts); err != nil || len(kept) != 0 {
		t.Errorf("of refused lists %+v is kept, %v", kept, err)
	}
}
