package parts_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"brakeside/server/entry"
	"brakeside/server/internal/shoptest"
	"brakeside/server/parts"
	"brakeside/server/store"
	"brakeside/traveler/standing"
)

// A part goes from draft to ready to superseded, and each word means one thing.
func TestPartStates(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	first := shoptest.ExampleOf("tray", "DT-310", "A")
	draft := s.Send("/parts", first, owner)
	if _, page := s.OwnerPage(owner, "/parts/"+draft); !strings.Contains(page, "Draft: it may be changed") || strings.Contains(page, "Issue a sheet") {
		t.Errorf("the draft's page says %q", page)
	}
	root := s.Refused("/jobs", url.Values{"part": {draft}, "brake": {s.NewestBrake()}, "job": {"1"}, "quantity": {"1"}}, owner)
	if page := shoptest.WordsIn(root); !strings.Contains(page, "is draft; sheets are issued from the ready one") {
		t.Errorf("a sheet from a draft: %q", page)
	}
	s.Send("/parts/"+draft+"/marks", url.Values{"kind": {store.MarkReady}}, owner)
	if got := shoptest.FaultBeside(t, s.Refused("/parts", first, owner), "revision"); !strings.Contains(got, "is ready and never changes") {
		t.Errorf("changing a ready revision: %q", got)
	}
	if answer, _ := s.PostForm("/parts/"+draft+"/marks", url.Values{"kind": {store.MarkReady}}, owner); answer.StatusCode != http.StatusConflict {
		t.Errorf("ready twice = %d, want 409", answer.StatusCode)
	}
	next := shoptest.ExampleOf("tray", "DT-310", "B")
	next.Set("tray.walls.back[0].leg", "60")
	second := s.MakeReady(next, owner)
	if _, page := s.OwnerPage(owner, "/parts/"+draft); !strings.Contains(page, "Superseded: a later revision") || !strings.Contains(page, "A later version of this part is saved") {
		t.Errorf("the replaced revision's page says %q", page)
	}
	if _, page := s.OwnerPage(owner, "/parts/"+second+"/changes?from="+draft); !strings.Contains(page, "tray.walls.back[0].leg 40 60") || !strings.Contains(page, "revision A B") {
		t.Errorf("the difference says %q", page)
	}
	s.Send("/parts/"+second+"/marks", url.Values{"kind": {store.MarkArchived}}, owner)
	if _, page := s.OwnerPage(owner, "/parts"); strings.Contains(page, "DT-310") {
		t.Error("a part that was archived is listed")
	}
	s.Send("/parts/"+second+"/marks", url.Values{"kind": {store.MarkRestored}}, owner)
	if root, _ := s.OwnerPage(owner, "/parts?q=dt+tray"); shoptest.Row(t, root, "DT-310")[3] != "ready" {
		t.Errorf("the list says %q", shoptest.Row(t, root, "DT-310"))
	}
}

// The form holds every kind it offers: what is kept comes back as it was typed.
func TestPartFormRoundTrip(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	for _, k := range entry.Kinds {
		t.Run(k.ID, func(t *testing.T) {
			form := shoptest.ExampleOf(k.ID, "RT-"+k.ID, "A")
			seq := s.Send("/parts", form, owner)
			root, _ := s.OwnerPage(owner, "/parts/new?from="+seq)
			for name := range form {
				if value := form.Get(name); strings.HasSuffix(name, "leg") || strings.HasPrefix(name, "profile.legs") || name == "number" {
					if got := shoptest.FieldValue(root, name); got != value {
						t.Errorf("%s comes back as %q, want %q", name, got, value)
					}
				}
			}
			root, _ = s.OwnerPage(owner, "/parts/new?copy=yes&from="+seq)
			if got := shoptest.FieldValue(root, "number"); got != "RT-"+k.ID+" copy" {
				t.Errorf("the copy is called %q", got)
			}
		})
	}
}

// The drawing follows what is typed, well within a tenth of a second, and a
// fault names its field.
func TestDrawing(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	form := shoptest.ExampleOf("tray", "DT-310", "A")
	began := time.Now()
	answer, body := s.PostForm("/parts/drawing", form, owner)
	if took := time.Since(began); took > 2*time.Second {
		t.Errorf("a drawing took %v", took)
	}
	if answer.StatusCode != http.StatusOK || strings.Contains(body, "<html") || strings.Count(body, "<svg") != 4 {
		t.Fatalf("the drawing = %d with %d pictures, want blank, two sections and the view from a corner", answer.StatusCode, strings.Count(body, "<svg"))
	}
	for name, value := range map[string]string{"thickness": "-1", "tray.base[0]": "x", "tray.walls.left[0].leg": "0.5", "tray.walls.left[0].angle": "200"} {
		bad := shoptest.ExampleOf("tray", "DT-310", "A")
		bad.Set(name, value)
		if _, body := s.PostForm("/parts/drawing", bad, owner); !strings.Contains(body, `data-fault="`+name+`"`) {
			t.Errorf("%s = %s: the fault names another field: %s", name, value, shoptest.WordsIn(shoptest.Parsed(t, body)))
		}
		if got := shoptest.FaultBeside(t, s.Refused("/parts", bad, owner), name); got == "" {
			t.Errorf("%s = %s: nothing stands beside the field", name, value)
		}
	}
}

func TestPartFromAFile(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	root := s.Refused("/parts", url.Values{"kind": {"file"}, "text": {"{\n \"number\": \"X\",\n \"thicknes\": 1\n}"}}, owner)
	if page := shoptest.WordsIn(root); !strings.Contains(page, "3:2") && !strings.Contains(page, "3:") {
		t.Errorf("the place of the mistake is not told: %q", page)
	}
	if got := s.Refused("/parts", url.Values{"kind": {"file"}}, owner); !strings.Contains(shoptest.WordsIn(got), "Choose a part file or paste one.") {
		t.Errorf("nothing sent: %q", shoptest.WordsIn(got))
	}
	seq := s.Send("/parts", url.Values{"kind": {"file"}, "text": {`{"number":"RB-1","revision":"A","material":"304","thickness":1,"profile":{"length":200,"legs":[30,40],"bends":[-90]}}`}}, owner)
	for path, want := range map[string]string{"part.json": `"RB-1"`, "blank.svg": "<svg", "blank.dxf": "AC1009", "blank.pdf": "%PDF"} {
		answer, body := s.Get("/parts/"+seq+"/"+path, owner)
		if answer.StatusCode != http.StatusOK || !strings.Contains(body, want) || !strings.Contains(answer.Header.Get("Content-Disposition"), "RB-1-rev-A") {
			t.Errorf("GET %s = %d %q", path, answer.StatusCode, answer.Header)
		}
	}
	if answer, _ := s.Get("/parts/999", owner); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a part that is not there = %d, want 404", answer.StatusCode)
	}
}

// A list shows every part finished: by a picture that is fetched once its line is in
// sight and that the browser keeps, drawn without a plan.
func TestPartsInAListAreShown(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	seq := s.Send("/parts", url.Values{"kind": {"file"}, "text": {`{"number":"RB-1","revision":"A","material":"304","thickness":1,"profile":{"length":200,"legs":[30,40],"bends":[-90]}}`}}, owner)
	root, _ := s.OwnerPage(owner, "/parts")
	shown := ""
	for _, n := range shoptest.All(root, shoptest.Named("img")) {
		if shoptest.Attribute(n, "loading") != "lazy" || !shoptest.Has(n, "alt") {
			t.Errorf("the picture %s is fetched at once or has no alt", shoptest.Attribute(n, "src"))
		}
		shown += shoptest.Attribute(n, "src") + " "
	}
	if !strings.Contains(shown, "/parts/"+seq+"/thumb.svg ") {
		t.Errorf("the list shows %q", shown)
	}
	answer, body := s.Get("/parts/"+seq+"/thumb.svg", owner)
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "image/svg+xml" || answer.Header.Get("Cache-Control") != "private, max-age=604800" {
		t.Errorf("the picture is answered %d %q", answer.StatusCode, answer.Header)
	}
	if !strings.Contains(body, "<path") || len(body) > 4000 {
		t.Errorf("the picture has %d bytes", len(body))
	}
}

// Bends are added and taken away without script.
func TestBendsOfAProfile(t *testing.T) {
	form := shoptest.ExampleOf("l", "L-1", "A")
	for _, c := range []struct {
		act  string
		legs int
	}{{"more", 3}, {"more", 4}, {"fewer", 3}, {"fewer", 2}, {"fewer", 2}} {
		form.Set("act", c.act)
		if parts.Resize(form); entry.Legs(form) != c.legs {
			t.Errorf("after %s there are %d legs, want %d", c.act, entry.Legs(form), c.legs)
		}
	}
}

// Every brake of the shop is planned on, the quickest first; one that cannot
// make the part says why, with a picture and what would help.
func TestPlans(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	short := strings.NewReplacer(`"Long bench brake"`, `"Short brake"`, `"usable_length": 1180`, `"usable_length": 250`).Replace(string(shoptest.ExampleBrake(t)))
	s.Keep(store.Brakes, store.Revision{Name: "Short brake", JSON: []byte(short)})
	seq := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	root, page := s.Planned(owner, "/parts/"+seq+"/plans?quantity=10")
	plans := shoptest.All(root, shoptest.Classed("plan"))
	if len(plans) != 2 || !strings.HasPrefix(shoptest.WordsIn(plans[0]), "Long bench brake can be bent") {
		t.Fatalf("the plans are %q", page)
	}
	for _, want := range []string{"minutes a piece", "Blank", "Inside radius as drawn", "Bars", "Order", "Tight steps", "Cautions"} {
		if !strings.Contains(shoptest.WordsIn(plans[0]), want) {
			t.Errorf("the plan lacks %q: %s", want, shoptest.WordsIn(plans[0]))
		}
	}
	deep := shoptest.ExampleOf("u", "DEEP-1", "A")
	deep.Set("profile.legs[0]", "300")
	deep.Set("profile.legs[1]", "12")
	deep.Set("profile.legs[2]", "300")
	blocked := s.Send("/parts", deep, owner)
	root, page = s.Planned(owner, "/parts/"+blocked+"/plans")
	if !strings.Contains(page, "cannot be bent here") || !strings.Contains(page, "In plain words no order") || !strings.Contains(page, "What would help") || len(shoptest.All(root, shoptest.Classed("endview"))) == 0 {
		t.Errorf("an impossible part is explained as %q", page)
	}
}

// The picture of a step turns with the leaf, at one scale, and the plan behind
// it is worked out once.
func TestBendPictures(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	seq := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	at := "/parts/" + seq + "/frame.svg?brake=" + s.NewestBrake() + "&step=2&angle="
	seen := map[string]bool{}
	for _, angle := range []string{"0", "30", "60", "90", "91"} {
		answer, body := s.Get(at+angle, owner)
		if answer.StatusCode != http.StatusOK || !strings.HasPrefix(body, "<svg") || !strings.Contains(body, `viewBox="0 0 150 100"`) {
			t.Fatalf("the picture at %s = %d %.80s", angle, answer.StatusCode, body)
		}
		seen[body[strings.Index(body, "<path"):]] = true
	}
	if len(seen) != 5 {
		t.Errorf("%d different pictures of 5 angles", len(seen))
	}
	if n := s.Bench.Plans.Load(); n != 1 {
		t.Errorf("%d plans were worked out, want 1", n)
	}
	root, page := s.OwnerPage(owner, "/parts/"+seq+"/bends?brake="+s.NewestBrake()+"&step=3")
	if steps := shoptest.All(shoptest.One(t, root, shoptest.Classed("sequence")), shoptest.Named("li")); len(steps) != 4 || !strings.Contains(page, "Leaf at") {
		t.Errorf("%d steps: %s", len(steps), page)
	}
}

// The form of a part writes down what its file leaves to be understood; only what
// means something else is a change.
func TestPartLines(t *testing.T) {
	cases := []struct{ before, after, want string }{
		{`{"revision":"A"}`, `{"revision":"A","units":"mm","sizes":"outside","over_90":"apex","marked_face":"A"}`, ""},
		{`{"over_90":"apex"}`, `{}`, ""},
		{`{}`, `{"over_90":"tangent","marked_face":"B"}`, "marked_face A > B; over_90 apex > tangent"},
		{`{"sizes":"inside"}`, `{}`, "sizes inside > outside"},
		{`{}`, `{"grain":"x"}`, "grain  > x"},
	}
	for _, c := range cases {
		lines, err := parts.PartLines([]byte(c.before), []byte(c.after))
		var got []string
		for _, l := range lines {
			got = append(got, l.What+" "+l.Before+" > "+l.After)
		}
		if err != nil || strings.Join(got, "; ") != c.want {
			t.Errorf("partLines(%s, %s) = %q, %v, want %q", c.before, c.after, got, err, c.want)
		}
	}
	if _, err := parts.PartLines([]byte("{"), []byte("{}")); err == nil {
		t.Error("a broken file is compared")
	}
}

// Making a revision ready lists the open travelers of the older one; until each is
// decided about, the phone says to ask before the next bend and the list of jobs
// marks it.
func TestOpenTravelersOfAnOlderRevision(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	code := s.IssueFor(s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), session), "1041", session)
	next := shoptest.ExampleOf("tray", "DT-310", "B")
	next.Set("tray.walls.back[0].leg", "60")
	part := s.MakeReady(next, session)
	root, page := s.OwnerPage(session, "/parts/"+part)
	forms := shoptest.All(shoptest.One(t, root, func(n *html.Node) bool { return shoptest.Attribute(n, "id") == "old" }), shoptest.Named("form"))
	if !strings.Contains(page, "Job 1041, rev A") || len(forms) != 2 || !strings.Contains(page, "Replace it") {
		t.Fatalf("beside the ready revision stands, with %d forms: %s", len(forms), page)
	}
	if _, page = s.OwnerPage(session, "/"); !strings.Contains(page, "newer revision B: decide") {
		t.Errorf("the list of jobs says %s", page)
	}
	if _, body := s.Get("/t/" + code); !strings.Contains(body, "A newer revision exists: ask.") {
		t.Errorf("the phone says %s", shoptest.WordsIn(shoptest.Parsed(t, body)))
	}
	runOn := shoptest.Filled(forms[0])
	path := shoptest.Attribute(forms[0], "action")
	if runOn.Get("kind") != standing.RunOn {
		t.Fatalf("the first form decides %v, want to let it run on", runOn)
	}
	s.Refused(path, runOn, session)
	runOn.Set("detail", "the customer takes both")
	s.Send(path, runOn, session)
	if _, body := s.Get("/t/" + code); strings.Contains(body, "A newer revision exists") {
		t.Error("it was decided to let it run on, and the phone still stops")
	}
	if _, page = s.OwnerPage(session, "/parts/"+part); strings.Contains(page, "Open travelers of an older revision") {
		t.Error("it was decided, and the traveler is still listed")
	}
}

// A form that was opened on an older version says so, shows both, and keeps what is
// typed once it is sent again.
func TestFormOfAnOlderVersion(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	form := shoptest.ExampleOf("tray", "DT-310", "A")
	form.Set("act", "keep")
	first := s.Send("/parts", form, owner)
	opened := func() url.Values {
		root, _ := s.OwnerPage(owner, "/parts/new?from="+first)
		typed := shoptest.Filled(shoptest.One(t, root, shoptest.Classed("two")))
		typed.Set("act", "keep")
		return typed
	}
	one, other := opened(), opened()
	for _, typed := range []url.Values{one, other} { // what is chosen from a list
		for name, value := range form {
			if !typed.Has(name) {
				typed[name] = value
			}
		}
	}
	one.Set("tray.base[0]", "250")
	second := s.Send("/parts", one, owner)
	other.Set("tray.base[1]", "150")
	answer, body := s.PostForm("/parts", other, owner)
	root := shoptest.Parsed(t, body)
	words := shoptest.WordsIn(root)
	if answer.StatusCode != http.StatusConflict || !strings.Contains(words, "A later version was saved meanwhile") {
		t.Fatalf("POST = %d: %s", answer.StatusCode, words)
	}
	if got := strings.Join(shoptest.Row(t, root, "tray.base"), "|"); !strings.HasPrefix(got, "tray.base|250, ") || !strings.HasSuffix(got, ", 150") {
		t.Errorf("both versions are shown as %q", got)
	}
	if len(shoptest.All(root, func(n *html.Node) bool { return shoptest.Attribute(n, "href") == "/parts/"+second })) != 1 {
		t.Error("the later version has no link")
	}
	if other.Set("from", shoptest.FieldValue(root, "from")); other.Get("from") != second {
		t.Errorf("the form that comes back is on version %s, want %s", other.Get("from"), second)
	}
	s.Send("/parts", other, owner)
	kept, err := s.Store.Find(t.Context(), store.Parts, "DT-310")
	if err != nil || !strings.Contains(string(kept.JSON), "150") {
		t.Errorf("kept %s, %v, want what was typed", kept.JSON, err)
	}
}

// A draft that gets another number is renamed; one that gets the number of another
// part is refused; a copy leaves what it is a copy of.
func TestDraftIsRenamed(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	form := shoptest.ExampleOf("tray", "DT-310", "A")
	form.Set("act", "keep")
	first := s.Send("/parts", form, owner)
	other := shoptest.ExampleOf("l", "L-1", "A")
	other.Set("act", "keep")
	s.Send("/parts", other, owner)
	listed := func() string {
		kept, err := s.Store.Newest(t.Context(), store.Parts)
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, p := range kept {
			names = append(names, p.Name+" "+p.Revision)
		}
		return strings.Join(names, ", ")
	}
	form.Set("from", first)
	form.Set("number", "DT-311")
	renamed := s.Send("/parts", form, owner)
	if got := listed(); got != "DT-311 A, L-1 A" {
		t.Errorf("after renaming the parts are %s", got)
	}
	if answer, _ := s.Get("/parts/"+first, owner); answer.StatusCode != http.StatusNotFound {
		t.Errorf("the page of the old number = %d, want 404", answer.StatusCode)
	}
	form.Set("from", renamed)
	form.Set("number", "L-1")
	if got := shoptest.FaultBeside(t, s.Refused("/parts", form, owner), "number"); !strings.Contains(got, "Another part is kept as L-1 revision A") {
		t.Errorf("renamed to what another part is called: %q", got)
	}
	form.Set("number", "DT-312")
	form.Set("copy", "yes")
	s.Send("/parts", form, owner)
	if got := listed(); got != "DT-311 A, DT-312 A, L-1 A" {
		t.Errorf("after copying the parts are %s", got)
	}
	form.Set("number", "DT-310") // the number of before is free again
	s.Send("/parts", form, owner)
	if got := listed(); got != "DT-310 A, DT-311 A, DT-312 A, L-1 A" {
		t.Errorf("with the old number again the parts are %s", got)
	}
}

// A draft that nobody issued from can be removed; what is or was ready stays.
func TestDraftIsRemoved(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	ready := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	draft := shoptest.ExampleOf("tray", "DT-310", "B")
	draft.Set("act", "keep")
	second := s.Send("/parts", draft, owner)
	_, page := s.OwnerPage(owner, "/parts/"+second)
	if !strings.Contains(page, "Remove this draft") {
		t.Fatalf("the page of a draft says %s", page)
	}
	answer, _ := s.PostForm("/parts/"+second+"/marks", url.Values{"kind": {"dropped"}}, owner)
	if answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != "/parts" {
		t.Errorf("removing a draft = %d to %s", answer.StatusCode, answer.Header.Get("Location"))
	}
	if kept, err := s.Store.Find(t.Context(), store.Parts, "DT-310"); err != nil || kept.Revision != "A" {
		t.Errorf("the part is %+v, %v, want revision A", kept, err)
	}
	for path, want := range map[string]int{ready: http.StatusConflict, second: http.StatusNotFound} {
		if answer, _ := s.PostForm("/parts/"+path+"/marks", url.Values{"kind": {"dropped"}}, owner); answer.StatusCode != want {
			t.Errorf("removing version %s = %d, want %d", path, answer.StatusCode, want)
		}
	}
}

// Parts are found by words of any column, and come in the order asked for.
func TestPartsAreFoundAndSorted(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	s.MakeReady(shoptest.ExampleOf("tray", "DT-10", "A"), owner)
	for _, kept := range [][3]string{{"l", "DT-9", "C"}, {"tray", "AB-2", "B"}} {
		form := shoptest.ExampleOf(kept[0], kept[1], kept[2])
		form.Set("act", "keep")
		s.Send("/parts", form, owner)
	}
	for path, want := range map[string]string{
		"/parts": "AB-2 DT-9 DT-10", "/parts?sort=-number": "DT-10 DT-9 AB-2", "/parts?sort=revision": "DT-10 AB-2 DT-9",
		"/parts?sort=-kept": "AB-2 DT-9 DT-10", "/parts?sort=state": "AB-2 DT-9 DT-10", "/parts?q=draft&sort=kept": "DT-9 AB-2",
		"/parts?q=tray+1.00": "AB-2 DT-10", "/parts?q=mild+ready": "DT-10", "/parts?q=tray+draft": "AB-2", "/parts?q=copper": "",
	} {
		root, _ := s.OwnerPage(owner, path)
		var numbers []string
		for _, head := range shoptest.All(root, func(n *html.Node) bool { return n.Data == "th" && shoptest.Attribute(n, "scope") == "row" }) {
			numbers = append(numbers, shoptest.WordsIn(head))
		}
		if got := strings.Join(numbers, " "); got != want {
			t.Errorf("%s lists %q, want %q", path, got, want)
		}
	}
}

// A tray with a hem is made by the form alone, in a shop that works in inches too: its
// mitres are named, and it opens in the form again.
func TestHemmedTrayByForm(t *testing.T) {
	for _, units := range []string{"mm", "in"} {
		s, owner := shoptest.OpenOffice(t)
		if err := s.Store.KeepSetting(t.Context(), store.SettingUnits, units); err != nil {
			t.Fatal(err)
		}
		root, _ := s.OwnerPage(owner, "/parts/new?kind=tray")
		form := shoptest.Filled(shoptest.One(t, root, shoptest.Classed("two")))
		for _, n := range shoptest.All(root, shoptest.Named("select")) {
			for _, o := range shoptest.All(n, shoptest.Named("option")) {
				if shoptest.Has(o, "selected") {
					form.Set(shoptest.Attribute(n, "name"), shoptest.Attribute(o, "value"))
				}
			}
		}
		if form.Get("units") != units {
			t.Fatalf("a new part begins in %s, want %s", form.Get("units"), units)
		}
		form.Set("number", "HT-1")
		form.Set("act", "ready")
		form.Set(entry.AlikeField, "yes")
		form.Set(entry.WallEdge("left"), string(entry.LipIn))
		form.Set("tray.walls.left[1].leg", map[string]string{"mm": "15", "in": "5/8"}[units])
		drawn := s.Draws(form, owner)
		if words := shoptest.WordsIn(shoptest.Parsed(t, drawn.Body.String())); !strings.Contains(words, "mitred at 45.0 degrees") {
			t.Errorf("%s: the mitres of the lips are not named: %s", units, words)
		}
		form.Set(entry.AlikeField, "")
		for side, edge := range map[string]entry.Edge{"left": entry.Plain, "front": entry.ClosedHem, "back": entry.OpenHem} {
			form.Set(entry.WallEdge(side), string(edge))
			form.Set("tray.walls."+side+"[1].leg", map[string]string{"mm": "8", "in": "3/8"}[units])
		}
		seq := s.Send("/parts", form, owner)
		root, page := s.OwnerPage(owner, "/parts/new?from="+seq)
		if shoptest.FieldValue(root, "number") != "HT-1" || strings.Contains(page, "or paste a part file") {
			t.Errorf("%s: the part does not open in the form: %s", units, page)
		}
		code := s.IssueFor(seq, "J-1", owner)
		if _, page := s.OwnerPage(owner, "/jobs/"+code); !strings.Contains(page, "HT-1") {
			t.Errorf("%s: no traveler: %s", units, page)
		}
	}
}
