package table

import (
	"strings"
	"testing"

	"brakeside/calc/fault"
)

var columns = []Column{{"job", false}, {"thickness_mm", true}, {"note", false}}

// The formats, by RFC 4180 (lines end in CR LF, quotes where needed) and, for
// spreadsheets, the byte order mark of UTF-8 (RFC 3629, section 6).
func TestWritten(t *testing.T) {
	rows := [][]string{{"1.10", "1.500", "a, \"b\""}, {"2", "", "c; d"}}
	for name, c := range map[string]struct {
		format Format
		want   string
	}{
		"for programs":           {Plain, "job,thickness_mm,note\r\n1.10,1.500,\"a, \"\"b\"\"\"\r\n2,,c; d\r\n"},
		"a point and a mark":     {Spreadsheet("."), "\ufeffjob,thickness_mm,note\r\n1.10,1.500,\"a, \"\"b\"\"\"\r\n2,,c; d\r\n"},
		"a comma and semicolons": {Spreadsheet(","), "\ufeffjob;thickness_mm;note\r\n1.10;1,500;\"a, \"\"b\"\"\"\r\n2;;\"c; d\"\r\n"},
	} {
		got, err := Written(c.format, columns, rows)
		if err != nil || string(got) != c.want {
			t.Errorf("%s: %q, %v, want %q", name, got, err, c.want)
		}
		read, err := Read(string(got), Header{[]string{"job"}, []string{"thickness_mm", "note"}})
		if err != nil || len(read) != 2 || read[0].Get("note") != `a, "b"` || read[1].Get("note") != "c; d" || read[0].Get("nothing") != "" {
			t.Errorf("%s: read again %v, %v", name, read, err)
		}
	}
}

// Whatever is wrong is told with its line and column.
func TestReadRefuses(t *testing.T) {
	h := Header{[]string{"number", "part"}, []string{"due"}}
	for text, want := range map[string]string{
		"":                              "empty",
		"number,due\n1,2026-01-01\n":    "the column part is missing",
		"number,part,colour\n":          `Line 1, column 13: there is no column "colour"`,
		"number,part,part\n":            "Line 1, column 13: the column part is there twice",
		"number,part\n1,A\n2\n":         "Line 3 has 1 cells",
		"number,part\n1,\"A\n":          "a quote is missing",
		"number,part\n1,A \"B\" C\n":    "Line 2, column 5: a quote",
		"number,part\n\xff,A\n":         "not written in UTF-8",
		"number;part;due\n1;A;2026;x\n": "Line 2 has 4 cells",
	} {
		if _, err := Read(text, h); fault.KindOf(err) != fault.Invalid || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is refused with %v, want %q", text, err, want)
		}
	}
	rows, err := Read("Number ; PART\n 7 ; A-1\n;\n8;B\n", h)
	if err != nil || len(rows) != 2 || rows[0].Get("part") != "A-1" || rows[1].Line != 4 {
		t.Fatalf("rows = %v, %v, want two, in lines 2 and 4", rows, err)
	}
	if err := rows[1].Refuse("part", "unknown"); !strings.Contains(err.Error(), "Line 4, column 3 (part): unknown") {
		t.Errorf("Refuse = %v", err)
	}
	if err := rows[1].Refuse("due", "missing"); !strings.Contains(err.Error(), "Line 4 (due): missing") {
		t.Errorf("Refuse of no column = %v", err)
	}
}

func FuzzRead(f *testing.F) {
	for _, seed := range []string{"number,part\n1,A\n", "\ufeffnumber;part;due\r\n1;\"A;B\";\r\n", "number\tpart\n1\t\"\"\n"} {
		f.Add(seed)
	}
	h := Header{[]string{"number", "part"}, []string{"due"}}
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := Read(text, h)
		if err != nil && fault.KindOf(err) != fault.Invalid {
			t.Fatalf("%q: %v is no refusal", text, err)
		}
		for _, row := range rows {
			if row.Line < 2 || row.Get("number") == "" && row.Get("part") == "" && row.Get("due") == "" {
				t.Fatalf("%q: row %+v", text, row)
			}
		}
	})
}
