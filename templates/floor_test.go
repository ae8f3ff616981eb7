package templates

import (
	"encoding/json"
	"io/fs"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// engines are versions of the three engines that phones and desks carry.
type engines struct{ iOS, chrome, firefox float64 }

// floor is the oldest of each that every page works on whole. The README says it.
var floor = engines{14, 86, 79}

// newer reports whether a feature came to one of the engines after the floor.
func (since engines) newer() bool {
	return since.iOS > floor.iOS || since.chrome > floor.chrome || since.firefox > floor.firefox
}

// feature is something that browsers did not always know.
type feature struct {
	key   string // of browser-compat-data, dots for its levels
	uses  string // a regular expression that finds its use
	since engines
	loss  string // what is lost without it, where that is nothing that matters; empty when it must not be used
}

const never = 999 // not in that engine yet

// scripted are features of scripts, with the versions of MDN's browser-compat-data
// 6.1.5. One that is newer than the floor and may be used is asked for first, and
// its use stands inside a try or a condition.
var scripted = []feature{
	{"javascript.builtins.Array.at", `\.at\(-?\d`, engines{15.4, 92, 90}, ""},
	{"javascript.builtins.Array.findLast", `\.findLast(Index)?\(`, engines{15.4, 97, 104}, ""},
	{"javascript.builtins.Array.toSorted", `\.toSorted\(`, engines{16, 110, 115}, ""},
	{"javascript.builtins.Array.toReversed", `\.toReversed\(`, engines{16, 110, 115}, ""},
	{"javascript.builtins.Array.toSpliced", `\.toSpliced\(`, engines{16, 110, 115}, ""},
	{"javascript.builtins.Object.hasOwn", `\bObject\.hasOwn\(`, engines{15.4, 93, 92}, ""},
	{"javascript.builtins.Object.groupBy", `\b(Object|Map)\.groupBy\(`, engines{17.4, 117, 119}, ""},
	{"javascript.builtins.String.replaceAll", `\.replaceAll\(`, engines{13.4, 85, 77}, ""},
	{"javascript.builtins.Promise.any", `\bPromise\.any\(`, engines{14, 85, 79}, ""},
	{"javascript.builtins.Promise.withResolvers", `\bPromise\.withResolvers\(`, engines{17.4, 119, 121}, ""},
	{"javascript.builtins.Intl.ListFormat", `\bIntl\.ListFormat\b`, engines{14.5, 72, 78}, ""},
	{"javascript.operators.optional_chaining", `\?\.[A-Za-z_([]`, engines{13.4, 80, 74}, ""},
	{"javascript.operators.nullish_coalescing", `\?\?[^=]`, engines{13.4, 80, 72}, ""},
	{"javascript.operators.nullish_coalescing_assignment", `\?\?=`, engines{14, 85, 79}, ""},
	{"javascript.operators.logical_or_assignment", `\|\|=`, engines{14, 85, 79}, ""},
	{"javascript.classes.private_class_fields", `\bthis\.#\w`, engines{14.5, 74, 90}, ""},
	{"javascript.classes.public_class_fields", `class \w+[^{]*\{\s*(static )?\w+ =`, engines{16, 72, 69}, ""},
	{"javascript.regular_expressions.lookbehind_assertion", `\(\?<[=!]`, engines{16.4, 62, 78}, ""},
	{"api.structuredClone", `\bstructuredClone\(`, engines{15.4, 98, 94}, ""},
	{"api.AbortSignal.timeout_static", `\bAbortSignal\.timeout\(`, engines{16, 124, 100}, ""},
	{"api.AbortSignal.any_static", `\bAbortSignal\.any\(`, engines{17.4, 116, 124}, ""},
	{"api.HTMLFormElement.requestSubmit", `\.requestSubmit\b`, engines{16, 76, 75}, ""},
	{"api.Element.checkVisibility", `\.checkVisibility\(`, engines{17.4, 105, 106}, ""},
	{"api.Element.replaceChildren", `\.replaceChildren\(`, engines{14, 86, 78}, ""},
	{"api.HTMLDialogElement.showModal", `\.showModal\(`, engines{15.4, 37, 98}, ""},
	{"api.HTMLElement.inert", `\.inert\b`, engines{15.5, 102, 112}, ""},
	{"api.HTMLElement.showPopover", `\.(show|hide|toggle)Popover\(`, engines{17, 114, 125}, ""},
	{"api.Crypto.randomUUID", `\.randomUUID\(`, engines{15.4, 92, 95}, ""},
	{"api.LockManager", `\bnavigator\.locks\b`, engines{15.4, 69, 96}, ""},
	{"api.BroadcastChannel", `\bBroadcastChannel\b`, engines{15.4, 54, 38}, ""},
	{"api.OffscreenCanvas", `\bOffscreenCanvas\b`, engines{16.4, 69, 105}, ""},
	{"api.createImageBitmap", `\bcreateImageBitmap\(`, engines{15, 50, 42}, "a photo is sent as large as it was taken"},
	{"api.Blob.text", `\b(file|chosen|picture|photo|blob|made)\.(text|arrayBuffer)\(`, engines{14.5, 76, 69}, ""},
	{"api.URL.canParse_static", `\bURL\.canParse\(`, engines{17, 120, 115}, ""},
	{"api.SubmitEvent.submitter", `\.submitter\b`, engines{15.4, 81, 75}, ""},
	{"api.IDBTransaction.durability", `\bdurability:`, engines{15, 83, 126}, "what is kept is on the disk a little later"},
	{"api.IDBFactory.databases", `\bindexedDB\.databases\(`, engines{14, 72, 126}, ""},
	{"api.Document.startViewTransition", `\bstartViewTransition\(`, engines{18, 111, never}, ""},
	{"css.selectors.has", `querySelector(All)?\([^;]*:has\(|(closest|matches)\([^;]*:has\(`, engines{15.4, 105, 121}, ""},
	{"css.selectors.is", `querySelector(All)?\([^;]*:(is|where)\(|(closest|matches)\([^;]*:(is|where)\(`, engines{14, 88, 78}, ""},
}

// styled are features of style sheets. A browser leaves out what it does not know:
// the declaration, or the whole rule of a selector.
var styled = []feature{
	{"css.selectors.has", `:has\(`, engines{15.4, 105, 121}, "a choice in the form of a part is as narrow as a figure"},
	{"css.selectors.is", `:is\(`, engines{14, 88, 78}, ""},
	{"css.selectors.where", `:where\(`, engines{14, 88, 78}, ""},
	{"css.selectors.nesting", `\{[^{}]*&[ .:>]`, engines{17.2, 120, 117}, ""},
	{"css.selectors.focus-visible", `:focus-visible`, engines{15.4, 86, 85}, "the browser's own ring shows the focus"},
	{"css.selectors.file-selector-button", `::file-selector-button`, engines{14.5, 89, 82}, "the key for a photo looks as the browser makes it"},
	{"css.properties.inset", `[{;\s]inset:`, engines{14.5, 87, 66}, ""},
	{"css.properties.aspect-ratio", `[{;\s]aspect-ratio:`, engines{15, 88, 89}, ""},
	{"css.properties.accent-color", `accent-color:`, engines{15.4, 93, 92}, "a slider has the browser's own colour"},
	{"css.properties.gap.flex_context", `flex;[^}]*[^-]gap:`, engines{14.5, 84, 63}, "keys in a row stand closer together"},
	{"css.properties.overflow-wrap.anywhere", `overflow-wrap: anywhere`, engines{15.4, 80, 65}, "a long word breaks by the rule of the body"},
	{"css.properties.scroll-padding-bottom", `scroll-padding-bottom:`, engines{14.5, 69, 68}, "a field may stand behind the pad until it is scrolled"},
	{"css.properties.text-underline-offset", `text-underline-offset:`, engines{12.2, 87, 70}, "a line under a word lies closer to it"},
	{"css.properties.content-visibility", `content-visibility:`, engines{18, 85, 125}, ""},
	{"css.properties.text-wrap", `text-wrap:`, engines{17.4, 114, 121}, ""},
	{"css.properties.translate", `[{;\s](translate|rotate|scale):`, engines{14.5, 104, 72}, ""},
	{"css.at-rules.layer", `@layer\b`, engines{15.4, 99, 97}, ""},
	{"css.at-rules.container", `@container\b`, engines{16, 105, 110}, ""},
	{"css.types.color.color-mix", `color-mix\(`, engines{16.2, 111, 113}, ""},
	{"css.types.min", `\bmin\(`, engines{11.3, 79, 75}, ""},
	{"css.types.clamp", `\bclamp\(`, engines{13.4, 79, 75}, ""},
	{"css.types.length.viewport_percentage_units_dynamic", `\d[dsl]v[hw]\b`, engines{15.4, 108, 101}, ""},
}

// marked are features of the pages themselves.
var marked = []feature{
	{"html.elements.dialog", `<dialog\b`, engines{15.4, 37, 98}, ""},
	{"html.elements.search", `<search\b`, engines{17, 118, 118}, ""},
	{"html.global_attributes.inert", `<[^>]*\sinert\b`, engines{15.5, 102, 112}, ""},
	{"html.global_attributes.popover", `<[^>]*\spopover\b`, engines{17, 114, 125}, ""},
	{"html.elements.img.loading", `<img[^>]*\sloading=`, engines{15.4, 77, 75}, "all photos are fetched at once"},
}

var (
	remarkInScript = regexp.MustCompile(`(?m)(^|\s)//.*$`)
	remarkInStyle  = regexp.MustCompile(`(?s)/\*.*?\*/`)
	inlineScript   = regexp.MustCompile(`(?s)<script[^>]*>(.*?)</script>`)
)

// tooNew lists the features of a text that the floor does not know and that it
// cannot do without.
func tooNew(text string, features []feature) (found []string) {
	for _, f := range features {
		if f.loss == "" && f.since.newer() && regexp.MustCompile(f.uses).MatchString(text) {
			found = append(found, f.key)
		}
	}
	return found
}

// The scripts, the styles and the pages use nothing that the oldest engines the
// README names do not know.
func TestPagesKeepToTheFloor(t *testing.T) {
	err := fs.WalkDir(static, "static", func(name string, _ fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		switch {
		case strings.HasSuffix(name, ".js"):
			holdsToFloor(t, name, remarkInScript.ReplaceAllString(read(t, static, name), ""), scripted)
		case strings.HasSuffix(name, ".css"):
			holdsToFloor(t, name, remarkInStyle.ReplaceAllString(read(t, static, name), ""), styled)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	files, err := fs.Glob(pages, "*.html")
	if err != nil {
		t.Fatal(err)
	}
	inFolders, err := fs.Glob(pages, "*/*.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(files, inFolders...) {
		text := read(t, pages, name)
		holdsToFloor(t, name, text, marked)
		for _, script := range inlineScript.FindAllStringSubmatch(text, -1) {
			holdsToFloor(t, name, script[1], scripted)
		}
	}
}

func read(t *testing.T, files fs.FS, name string) string {
	t.Helper()
	text, err := fs.ReadFile(files, name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func holdsToFloor(t *testing.T, name, text string, features []feature) {
	t.Helper()
	for _, key := range tooNew(text, features) {
		t.Errorf("%s uses %s, which is newer than iOS %g, Chrome %g or Firefox %g", name, key, floor.iOS, floor.chrome, floor.firefox)
	}
}

// The README states the floor that is held.
func TestReadmeStatesTheFloor(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	want := "iOS " + number(floor.iOS) + ", Chrome " + number(floor.chrome) + " or Firefox " + number(floor.firefox)
	if !strings.Contains(string(text), want) {
		t.Errorf("README.md does not say %q", want)
	}
}

// The check finds what it is to find, and passes what the floor knows.
func TestTooNew(t *testing.T) {
	for _, c := range []struct {
		text     string
		features []feature
		want     string
	}{
		{"list.at(-1)", scripted, "javascript.builtins.Array.at"},
		{`at("[data-due]")`, scripted, ""}, // a function of ours
		{"structuredClone(a)", scripted, "api.structuredClone"},
		{"Object.hasOwn(a, b)", scripted, "javascript.builtins.Object.hasOwn"},
		{"a ??= b?.c ?? d", scripted, ""}, // iOS 14, Chrome 85, Firefox 79
		{`a.replaceAll("b", "c")`, scripted, ""},
		{"fetch(a, { signal: AbortSignal.timeout(5) })", scripted, "api.AbortSignal.timeout_static"},
		{`form.querySelector("label:has(input)")`, scripted, "css.selectors.has"},
		{`const old = /(?<=a)b/`, scripted, "javascript.regular_expressions.lookbehind_assertion"},
		{"await reply.text(), await chosen.text()", scripted, "api.Blob.text"},
		{"await reply.text()", scripted, ""},
		{"a:where(b) { color: red; }", styled, "css.selectors.where"},
		{"a { position: absolute; inset: 0; }", styled, "css.properties.inset"},
		{"a { width: min(1rem, 2vw); }", styled, ""},
		{"<dialog open>", marked, "html.elements.dialog"},
		{"<p inert>", marked, "html.global_attributes.inert"},
	} {
		if got := strings.Join(tooNew(c.text, c.features), " "); got != c.want {
			t.Errorf("tooNew(%s) = %q, want %q", c.text, got, c.want)
		}
	}
}

// The versions are those of MDN's browser-compat-data, where the environment names
// its data.json, as .ci/run does with the one of npm.
func TestFeaturesAreAsOld(t *testing.T) {
	file := os.Getenv("COMPAT_DATA")
	if file == "" {
		if os.Getenv("CI") == "true" {
			t.Fatal("COMPAT_DATA does not name data.json of browser-compat-data, and this run must not skip the check")
		}
		t.Skip("COMPAT_DATA names no file: npm install @mdn/browser-compat-data and give its data.json")
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var all map[string]json.RawMessage
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	for _, list := range [][]feature{scripted, styled, marked} {
		for _, f := range list {
			if got := published(t, all, f.key); got != f.since {
				t.Errorf("%s: since %v, published %v", f.key, f.since, got)
			}
		}
	}
}

// published looks up since when the engines know a feature.
func published(t *testing.T, all map[string]json.RawMessage, key string) engines {
	t.Helper()
	level := all
	for name := range strings.SplitSeq(key, ".") {
		var below map[string]json.RawMessage
		if err := json.Unmarshal(level[name], &below); err != nil {
			t.Fatalf("%s: %v", key, err)
		}
		level = below
	}
	var compat struct {
		Support map[string]json.RawMessage `json:"support"`
	}
	if err := json.Unmarshal(level["__compat"], &compat); err != nil {
		t.Fatalf("%s: %v", key, err)
	}
	return engines{versionIn(t, compat.Support["safari_ios"]), versionIn(t, compat.Support["chrome"]), versionIn(t, compat.Support["firefox"])}
}

// versionIn gives the first version that knows a feature under its own name and
// with no switch to be turned.
func versionIn(t *testing.T, support json.RawMessage) float64 {
	t.Helper()
	type statement struct {
		Added json.RawMessage `json:"version_added"`
		Other string          `json:"alternative_name"`
		Start string          `json:"prefix"`
		Flags []any           `json:"flags"`
	}
	var several []statement
	if json.Unmarshal(support, &several) != nil {
		var one statement
		if err := json.Unmarshal(support, &one); err != nil {
			t.Fatal(err)
		}
		several = []statement{one}
	}
	for _, s := range several {
		var version string
		if s.Other+s.Start != "" || len(s.Flags) > 0 || json.Unmarshal(s.Added, &version) != nil {
			continue
		}
		v, err := strconv.ParseFloat(strings.TrimPrefix(version, "≤"), 64)
		if err != nil {
			return never
		}
		return v
	}
	return never
}
