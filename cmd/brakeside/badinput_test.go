package main

import (
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// soundPart is one field a line, so that a case can say where its mistake is.
const soundPart = `{
 "number": "RB-1",
 "units": "mm",
 "material": "mild-steel",
 "thickness": 1.5,
 "inside_radius": 1.5,
 "profile": {
  "length": 420,
  "legs": [34, 60, 34],
  "bends": [90, 90]
 }
}
`

const soundTray = `{
 "number": "DT-1",
 "material": "304",
 "thickness": 0.8,
 "tray": {
  "base": [300, 180],
  "walls": {
   "left": [{"leg": 35}],
   "front": [{"leg": 35}, {"leg": 12, "angle": -90}]
  },
  "corners": {"relief": "square", "size": 2.0}
 }
}
`

// mistakes are slips in a part file: what is written instead of what, and where
// and how it is told.
var mistakes = []struct {
	name, of, instead, written string
	place                      string // LINE:COL: FIELD:
	says                       string // what is wrong or what would be right
}{
	{"unknown field", soundPart, `"inside_radius"`, `"inner_radius"`, "6:18: inner_radius:", "no field of this name is known here"},
	{"unknown field inside", soundPart, `"legs"`, `"sides"`, "9:12: profile.sides:", "no field of this name is known here"},
	{"field given twice", soundPart, `"units": "mm"`, `"number": "RB-2"`, "3:2: number:", "duplicate"},
	{"wrong unit", soundPart, `"mm"`, `"cm"`, "3:11: units:", `write "mm" or "in"`},
	{"negative size", soundPart, `420`, `-420`, "8:13: profile.length:", "give a number above 0"},
	{"size of nothing", soundPart, `60`, `0`, "9:16: profile.legs[1]:", "give a number above 0"},
	{"size that is not a number", soundPart, `420`, `NaN`, "8:13: profile.length:", "a number is needed here"},
	{"size past all numbers", soundPart, `420`, `1e999`, "8:13: profile.length:", "number"},
	{"size past all shops", soundPart, `420`, `1e9`, "8:13: profile.length:", "the most that is worked out"},
	{"text for a number", soundPart, `420`, `"420"`, "8:13: profile.length:", "it takes a number"},
	{"number for a text", soundPart, `"RB-1"`, `1`, "2:12: number:", "it takes a text in double quotes"},
	{"comma for a point", soundPart, `"thickness": 1.5,`, `"thickness": 1,5,`, "5:17:", "decimals are written with a point"},
	{"outer leg used up", soundPart, `[34, 60, 34]`, `[3, 60, 34]`, "9:12: profile.legs[0]:", "more than 3.00 mm is needed"},
	{"inner leg used up", soundPart, `60`, `6`, "9:16: profile.legs[1]:", "more than 6.00 mm is needed"},
	{"folded flat", soundPart, `[90, 90]`, `[90, 180]`, "10:17: profile.bends[1]:", "less than 180"},
	{"folded too far", soundPart, `[90, 90]`, `[-200, 90]`, "10:13: profile.bends[0]:", "less than 180"},
	{"not folded", soundPart, `[90, 90]`, `[90, 0]`, "10:17: profile.bends[1]:", "more than 0"},
	{"a leg too few", soundPart, `[34, 60, 34]`, `[34, 60]`, "9:11: profile.legs:", "need 3 legs"},
	{"no material", soundPart, ` "material": "mild-steel",` + "\n", ``, "1:1: material:", "the part needs a material"},
	{"empty material", soundPart, `"mild-steel"`, `""`, "4:14: material:", "the part needs a material"},
	{"material of a near name", soundPart, `"mild-steel"`, `"mild-steal"`, "4:14: material:", "the nearest are mild-steel"},
	{"material in capitals", soundPart, `"mild-steel"`, `"Mild Steel"`, "4:14: material:", "the nearest are mild-steel"},
	{"thickness and gauge", soundPart, `"thickness": 1.5`, `"thickness": 1.5, "gauge": "16"`, "5:29: gauge:", "not both"},
	{"neither thickness nor gauge", soundPart, ` "thickness": 1.5,` + "\n", ``, "1:1: thickness:", "a thickness or a gauge"},
	{"unknown gauge", soundPart, `"thickness": 1.5`, `"gauge": "99"`, "5:11: gauge:", "99"},
	{"no shape", soundPart, `"profile"`, `"number2"`, "7:13: number2:", "no field of this name"},
	{"two shapes", soundPart, ` "profile"`, ` "tray": {"base": [90, 90], "walls": {"left": [{"leg": 20}]}},` + "\n" + ` "profile"`, "1:1:", "exactly one of"},
	{"no number", soundPart, ` "number": "RB-1",` + "\n", ``, "1:1: number:", "the part needs a number"},
	{"comma too many", soundPart, `[90, 90]`, `[90, 90,]`, "10:19: profile.bends:", "take this comma away"},
	{"comma too few", soundPart, `"RB-1",`, `"RB-1"`, "3:2:", "a comma is missing"},
	{"a remark", soundPart, `"RB-1",`, `"RB-1", // the bracket`, "2:20:", "comments are not known here"},
	{"cut off", soundPart, "[90, 90]\n }\n}\n", "[90, ", "10:", "the file ends in the middle of a value"},
	{"two parts in one file", soundPart, "\n}\n", "\n}\n{}\n", "13:1:", "one file holds one part"},
	{"empty file", soundPart, soundPart, ``, "1:1:", "the file ends"},
	{"not JSON", soundPart, soundPart, "number: RB-1\n", "1:3:", "write names and texts in double quotes"},
	{"tray with a base of one size", soundTray, `[300, 180]`, `[300]`, "6:11: tray.base:", "give two"},
	{"tray wall used up", soundTray, `{"leg": 12`, `{"leg": 1`, "9:35: tray.walls.front[1].leg:", "is needed"},
	{"tray wall folded flat", soundTray, `-90`, `-180`, "9:48: tray.walls.front[1].angle:", "less than 180"},
	{"tray relief of no kind", soundTray, `"square"`, `"star"`, "11:25: tray.corners.relief:", "write one of"},
	{"tray relief of no size", soundTray, `2.0`, `-2.0`, "11:43: tray.corners.size:", "give a number above 0"},
}

// TestMistakesInAPart: every slip is one line with its place, its field and what
// would be right, from whatever command reads the file; nothing is written.
func TestMistakesInAPart(t *testing.T) {
	for _, m := range mistakes {
		t.Run(m.name, func(t *testing.T) {
			if strings.Count(m.of, m.instead) != 1 {
				t.Fatalf("%q stands %d times in the sound part", m.instead, strings.Count(m.of, m.instead))
			}
			folder := t.TempDir()
			file := written(t, folder, "part.json", strings.Replace(m.of, m.instead, m.written, 1))
			for _, args := range [][]string{
				{"plan", file}, {"plan", file, "-json"}, {"flat", file, "-o", filepath.Join(folder, "blank.svg")},
				{"sheet", file, "-o", filepath.Join(folder, "traveler.pdf")},
			} {
				line := runs(t, args...).complaint(t, exitBadInput)
				if !strings.HasPrefix(line, file+":"+m.place) || !strings.Contains(line, m.says) {
					t.Errorf("%s: %q, want %s:%s ... %s", args[0], line, file, m.place, m.says)
				}
			}
			wantListing(t, folder, "part.json")
		})
	}
	if len(mistakes) < 30 {
		t.Errorf("only %d mistakes are tried", len(mistakes))
	}
}

// TestSoundParts: what the table above changes is right without the change.
func TestSoundParts(t *testing.T) {
	for _, text := range []string{soundPart, soundTray} {
		file := written(t, t.TempDir(), "part.json", text)
		if o := runs(t, "plan", file); o.code != exitFine {
			t.Errorf("exit %d: %s%s", o.code, o.out, o.err)
		}
	}
}

// TestMistakesInABrake: the brake's file is named, not the part's.
func TestMistakesInABrake(t *testing.T) {
	sound := readText(t, "shop/brake.json")
	for _, m := range []struct{ name, instead, written, place, says string }{
		{"unknown field", `"usable_length"`, `"length"`, "4:", "no field of this name"},
		{"no leaf", `"full_face": 62`, `"full_face": 0`, "10:16: leaf.full_face:", "give a number above 0"},
		{"leaf past flat", `"max_angle": 130`, `"max_angle": 180`, "13:16: leaf.max_angle:", "less than 180"},
		{"kind of bar", `"kind": "slotted"`, `"kind": "magic"`, "62:12: bars[2].kind:", `write "full"`},
	} {
		t.Run(m.name, func(t *testing.T) {
			folder := t.TempDir()
			file := written(t, folder, "brake.json", strings.Replace(sound, m.instead, m.written, 1))
			for _, args := range [][]string{
				{"plan", "shop/rail-bracket.json", "-brake", file},
				{"plan", "shop/rail-bracket.json", "-brake", "shop/brake.json", "-brake", file},
				{"sheet", "shop/rail-bracket.json", "-brake", file, "-o", filepath.Join(folder, "t.pdf")},
			} {
				line := runs(t, args...).complaint(t, exitBadInput)
				if !strings.HasPrefix(line, file+":"+m.place) || !strings.Contains(line, m.says) {
					t.Errorf("%q, want %s:%s ... %s", line, file, m.place, m.says)
				}
			}
			wantListing(t, folder, "brake.json")
		})
	}
}

// TestMistakesOnTheCommandLine: each is one line that says what would be right,
// with exit code 2, and makes no file. PART is a sound part, FOLDER an empty
// folder, FILE a file that is none of ours, BUSY a port that is taken.
func TestMistakesOnTheCommandLine(t *testing.T) {
	busy, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer busy.Close()
	for _, m := range []struct{ args, want string }{
		{"frobnicate", `brakeside: there is no command "frobnicate"; brakeside help lists them`},
		{"plan", "brakeside: plan takes PARTNAME; brakeside plan -h tells more"},
		{"plan PART PART", "brakeside: plan takes PARTNAME; brakeside plan -h tells more"},
		{"plan FOLDER/none.json", "FOLDER/none.json: there is no such file; check its name and folder"},
		{"plan FOLDER", "FOLDER: is a folder; name a file"},
		{"plan FILE/part.json", "FILE/part.json: lies in something that is not a folder; check its name"},
		{"plan PART -brake FOLDER/none.json", "FOLDER/none.json: there is no such file; check its name and folder"},
		{"plan PART -brake FOLDER", "FOLDER: is a folder; name a file"},
		{"plan PART -brake=", `brakeside: plan: invalid value "" for flag -brake: it may not be empty; brakeside plan -h tells more`},
		{"plan PART -brake", "brakeside: plan: flag needs an argument: -brake; brakeside plan -h tells more"},
		{"plan PART -qty 0", `brakeside: plan: invalid value "0" for flag -qty: give a whole number of pieces, 1 to 1000000; brakeside plan -h tells more`},
		{"plan PART -qty many", `brakeside: plan: invalid value "many" for flag -qty: give a whole number of pieces, 1 to 1000000; brakeside plan -h tells more`},
		{"plan PART -qty 1e3", `brakeside: plan: invalid value "1e3" for flag -qty: give a whole number of pieces, 1 to 1000000; brakeside plan -h tells more`},
		{"plan PART -quantity 3", "brakeside: plan: flag provided but not defined: -quantity; brakeside plan -h tells more"},
		{"flat PART", "brakeside: flat: name the file to write with -o; its ending, .svg, .pdf or .dxf, picks the kind"},
		{"flat PART -o FOLDER/blank", "brakeside: flat: name the file to write with -o; its ending, .svg, .pdf or .dxf, picks the kind"},
		{"flat PART -o FOLDER/blank.png", "brakeside: flat: name the file to write with -o; its ending, .svg, .pdf or .dxf, picks the kind"},
		{"flat PART -o FOLDER/none/blank.svg", "FOLDER/none/blank.svg: there is no folder FOLDER/none; make it first, or name a file in another one"},
		{"flat PART -o FILE/blank.svg", "FILE/blank.svg: lies in something that is not a folder; check its name"},
		{"sheet PART", "brakeside: sheet: name the file to write with -o; it must end in .pdf"},
		{"sheet PART -o FOLDER/t.svg", "brakeside: sheet: name the file to write with -o; it must end in .pdf"},
		{"sheet PART -o FOLDER/none/t.pdf", "FOLDER/none/t.pdf: there is no folder FOLDER/none; make it first, or name a file in another one"},
		{"sheet PART -o FOLDER/t.pdf -paper a5", `brakeside: sheet: invalid value "a5" for flag -paper: write a4 or letter; brakeside sheet -h tells more`},
		{"sheet PART -o FOLDER/t.pdf -url shop", `brakeside: -url "shop" is no address; write for example http://192.0.2.7:8080`},
		{"sheet PART -o FOLDER/t.pdf -qty 0", `brakeside: sheet: invalid value "0" for flag -qty: give a whole number of pieces, 1 to 1000000; brakeside sheet -h tells more`},
		{"serve -addr BUSY -data FOLDER/shop", "-addr: BUSY is in use by another program; stop it or choose another port"},
		{"serve -addr nonsense -data FOLDER/shop", "-addr: cannot listen on nonsense: "},
		{"serve -addr 127.0.0.1:0 -data FILE", "FILE: The folder or its database cannot be opened."},
		{"serve -addr 127.0.0.1:0 -data FOLDER/shop -tls-cert FILE", "brakeside: serve: -tls-cert and -tls-key go together"},
		{"serve -addr 127.0.0.1:0 -data FOLDER/shop -tls-cert FILE -tls-key FILE", "-tls-cert: FILE and FILE are no certificate and key: "},
		{"serve -addr 127.0.0.1:0 -data FOLDER/shop -url ftp://shop", `brakeside: -url "ftp://shop" is no address; write for example http://192.0.2.7:8080`},
		{"serve FOLDER", "brakeside: serve takes no file name; brakeside serve -h tells more"},
		{"demo -once -addr BUSY -data FOLDER/shop", "-addr: BUSY is in use by another program; stop it or choose another port"},
		{"demo -once -addr 127.0.0.1:0 -data FILE", "FILE: lies in something that is not a folder; check its name"},
		{"backup -data FOLDER/none FOLDER/copy.db", "There is no brakeside.db in FOLDER/none. Give the folder of the service with -data."},
		{"backup -data STORE FOLDER/none/copy.db", "FOLDER/none/copy.db: there is no folder FOLDER/none; make it first, or name a file in another one"},
		{"backup -data STORE FILE", "FILE is there and is not a backup of this program. Give another name."},
		{"backup -data STORE FOLDER", "FOLDER: is there and is not a file; give another name"},
		{"backup -data STORE", "brakeside: backup takes FILENAME; brakeside backup -h tells more"},
		{"restore -data FOLDER/new FOLDER/none.db", "FOLDER/none.db: there is no such file; check its name and folder"},
		{"restore -data FOLDER/new FOLDER", "FOLDER: is there and is not a file; give another name"},
		{"restore -data FOLDER/new FILE", "FILE: is no sound backup of a store; give a file that brakeside backup wrote"},
		{"export -data FOLDER/none -o FOLDER/all.csv", "There is no brakeside.db in FOLDER/none. Give the folder of the service with -data."},
		{"export -data STORE", "brakeside: export: name the file to write with -o"},
		{"export -data STORE -o FOLDER/none/all.csv", "FOLDER/none/all.csv: there is no folder FOLDER/none; make it first, or name a file in another one"},
		{"export -data= -o FOLDER/all.csv", `brakeside: export: invalid value "" for flag -data: it may not be empty; brakeside export -h tells more`},
		{"weekly -data FOLDER/none -o FOLDER/week.pdf", "There is no brakeside.db in FOLDER/none. Give the folder of the service with -data."},
		{"weekly -data STORE", "brakeside: weekly: name the file to write with -o"},
		{"check -data FOLDER/none", "There is no brakeside.db in FOLDER/none. Give the folder of the service with -data."},
		{"owner-password -data FOLDER/shop", "password: has 0 characters; give 12 to 200"},
	} {
		t.Run(m.args, func(t *testing.T) {
			folder, others := t.TempDir(), t.TempDir()
			words := strings.NewReplacer(
				"PARTNAME", "PART.json", "FILENAME", "FILE", "PART", written(t, others, "part.json", soundPart), "FILE", written(t, others, "letter.txt", "dear customer"),
				"FOLDER", folder, "BUSY", busy.Addr().String(), "STORE", stocked(t))
			line := runs(t, strings.Fields(words.Replace(m.args))...).complaint(t, exitBadInput)
			if want := words.Replace(m.want); !strings.HasPrefix(line, want) {
				t.Errorf("%q, want %q", line, want)
			}
			wantListing(t, folder)
			wantListing(t, others, "letter.txt", "part.json")
			if text := readText(t, filepath.Join(others, "letter.txt")); text != "dear customer" {
				t.Errorf("the letter now holds %q", text)
			}
		})
	}
}

// TestWholeFilesReplaceOthers: a file of an earlier run is replaced whole, and
// what is not a file is left alone.
func TestWholeFilesReplaceOthers(t *testing.T) {
	folder := t.TempDir()
	for _, c := range [][]string{
		{"flat", "shop/drip-tray.json", "-o", "blank.svg"}, {"flat", "shop/drip-tray.json", "-o", "blank.PDF"},
		{"flat", "shop/drip-tray.json", "-o", "blank.dxf"}, {"sheet", "shop/drip-tray.json", "-o", "t.pdf"},
	} {
		to := written(t, folder, c[3], strings.Repeat("an older file ", 100000))
		c[3] = to
		if o := runs(t, c...); o.code != exitFine || o.err != "" {
			t.Errorf("%q: exit %d, %s", c, o.code, o.err)
		}
		if text := readText(t, to); strings.Contains(text, "an older file") || len(text) < 500 {
			t.Errorf("%s holds %d bytes, with something of the older file", to, len(text))
		}
		if info, err := os.Stat(to); err != nil || info.Mode().Perm() != 0o644 {
			t.Errorf("%s: mode %v, %v; want one that others can read", to, info.Mode(), err)
		}
	}
	if err := os.Mkdir(filepath.Join(folder, "d.pdf"), 0o755); err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(folder, "d.pdf")
	if got, want := runs(t, "sheet", "shop/drip-tray.json", "-o", to).complaint(t, exitBadInput), to+": is there and is not a file; give another name"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	names := listing(t, folder)
	if want := []string{"blank.PDF", "blank.dxf", "blank.svg", "d.pdf", "t.pdf"}; !slices.Equal(names, want) {
		t.Errorf("the folder holds %q, want %q", names, want)
	}
}

// TestTooLarge: a file that cannot be a part is not read to its end.
func TestTooLarge(t *testing.T) {
	file := written(t, t.TempDir(), "part.json", strings.Repeat(" ", 5<<20))
	if line := runs(t, "plan", file).complaint(t, exitBadInput); !strings.Contains(line, "bytes, more than the") {
		t.Errorf("%q", line)
	}
}
