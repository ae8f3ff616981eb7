package server_test

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"brakeside/server"
	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
	"brakeside/server/parts"
	"brakeside/server/planning"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
)

// Names of the fuzz targets.
const (
	fuzzRequests = "FuzzRequests"
	fuzzAccounts = "FuzzAccounts"
	fuzzReadings = "FuzzReadings"
	fuzzPhotos   = "FuzzPhotos"
)

var fuzzTargets = map[string]func(*testing.F){
	fuzzRequests: FuzzRequests, fuzzAccounts: FuzzAccounts, fuzzReadings: FuzzReadings, fuzzPhotos: FuzzPhotos,
}

// fuzzed is one route with the fuzz target that is seeded with it, and what its
// form or its query holds when the service takes it. A route that only refuses
// in the shop of these tests says why.
type fuzzed struct {
	method, path, target string
	send                 []string // queries of a GET, forms of a POST
	refused              string
}

// fuzzedRoutes is the table of every route. Words in capitals are filled in with
// what the shop of the fuzz targets keeps, see fuzzShop.
var fuzzedRoutes = []fuzzed{
	{"GET", "/healthz", fuzzRequests, nil, ""},
	{"GET", "/metrics", fuzzRequests, nil, ""},
	{"GET", "/static/{file}", fuzzRequests, []string{"v=1"}, ""},

	{"GET", "/t/{code}", fuzzRequests, []string{"saved=f1", "saved=f9"}, ""},
	{"GET", "/t/{code}/state", fuzzRequests, nil, ""},
	{"GET", "/t/{code}/table", fuzzRequests, nil, ""},
	{"GET", "/t/{code}/board", fuzzRequests, nil, ""},
	{"GET", "/t/{code}/bundle", fuzzRequests, nil, ""},
	{"POST", "/t/{code}/convention", fuzzRequests, []string{"given_as=opening&piece=1&step=1", "given_as=bend"}, ""},
	{"GET", "/t/{code}/sheet.pdf", fuzzRequests, nil, ""},
	{"GET", "/t/{code}/{step:[0-9]{1,5}}", fuzzRequests, []string{"piece=1&corrects=f1", "piece=2&state=reworked"}, ""},
	{"POST", "/t/{code}/readings", fuzzReadings, []string{"id=new&piece=2&step=2&measured=90.1&by=AB&place=left&given_as=bend&leg=33.9&nose_setback=1.8&nose_setback=2.1&flags=bar-lifted&note=x&confirmed=true"}, ""},
	{"POST", "/t/{code}/photos", fuzzPhotos, []string{"id=p1&piece=1&step=2"}, "a form alone carries no photo; FuzzPhotos adds one"},
	{"POST", "/t/{code}/pieces", fuzzRequests, []string{"instead_of=2&by=AB"}, ""},
	{"GET", "/t/{code}/questions", fuzzRequests, nil, ""},
	{"POST", "/t/{code}/offcut", fuzzRequests, []string{"measured=44.5&by=AB", "measured=135&given_as=opening"}, "its pack is not new"},
	{"POST", "/t/{code}/protractor", fuzzRequests, []string{"kind=corner&tool=bevel&person=AB&corner=45&shown=44.5&piece=1&step=1", "kind=corner&tool=bevel&corner=60&shown=90", "kind=shows-opening&person=AB"}, ""},
	{"POST", "/t/{code}/questions", fuzzRequests, []string{"id=q1&answer=yes&by=AB", "id=q1&answer=no&piece=1&step=1"}, "no question waits there"},
	{"POST", "/jobs/{code}/questions", fuzzRequests, []string{"id=q1&answer=yes", "id=q1&answer=no"}, "no question waits there"},
	{"POST", "/t/{code}/events", fuzzRequests, []string{"kind=held&detail=the+bar+slips&by=AB", "kind=skipped&piece=2&detail=scratched"}, ""},
	{"POST", "/t/{code}/presence", fuzzRequests, []string{"piece=1&step=1&by=AB", "piece=1&step=1&left=true"}, ""},

	{"GET", "/signin", fuzzAccounts, []string{"next=/review", "next=//evil.example"}, ""},
	{"POST", "/signin", fuzzAccounts, []string{"password=" + shoptest.Password + "&next=/jobs/new", "password=guess", "password=" + strings.Repeat("x", 5000)}, ""},
	{"POST", "/signout", fuzzAccounts, []string{""}, ""},
	{"GET", "/hello/{code}", fuzzRequests, nil, ""},

	{"GET", "/", fuzzRequests, []string{"q=1041", "q=rail&page=2", "sort=-left&state=waiting&brake=x&customer=y"}, ""},
	{"GET", "/news", fuzzRequests, nil, ""},
	{"GET", "/jobs/new", fuzzRequests, []string{"part=PART&brake=BRAKE", "replaces=ISSUED"}, ""},
	{"POST", "/jobs", fuzzRequests, []string{"part=PART&brake=BRAKE&job=J-9&quantity=2&by=owner&due=2026-06-01", "part=PART&brake=BRAKE&job=J-1&quantity=2&replaces=ISSUED&reason=x"}, ""},
	{"POST", "/jobs/order", fuzzRequests, []string{"brake=leaf+brake+1.2+m&turn-" + shoptest.ChannelCode + "=1", "brake=leaf+brake+1.2+m&turn-" + shoptest.ChannelCode + "="}, ""},
	{"GET", "/jobs.csv", fuzzRequests, []string{"sort=-left&for=spreadsheet"}, ""},
	{"GET", "/jobs/import", fuzzRequests, nil, ""},
	{"POST", "/jobs/import", fuzzRequests, []string{"brake=BRAKE&text=number%2Cpart%2Cquantity%0A91%2CPART%2C2"}, ""},
	{"GET", "/jobs/{code}", fuzzRequests, nil, ""},
	{"POST", "/jobs/{code}/about", fuzzRequests, []string{"due=2026-06-01&customer=Hillside+Pumps&note=x", ""}, ""},
	{"POST", "/jobs/{code}/events", fuzzRequests, []string{"kind=quantity&detail=4", "kind=sampling&detail=2", "kind=override&detail=x", "kind=finish-allowed&detail=x", "kind=closed&detail=x", "kind=voided&detail=x"}, ""},
	{"GET", "/jobs/{code}/grid", fuzzRequests, []string{"from=2"}, ""},
	{"POST", "/jobs/{code}/grid", fuzzRequests, []string{"nonce=n1&m-1-1=45&m-1-2=90.5&stop-1=47&given_as=bend&by=AB&tool=x&pack=P-7&confirmed=true"}, ""},
	{"GET", "/jobs/{code}/label.pdf", fuzzRequests, nil, ""},
	{"GET", "/jobs/{code}/record.pdf", fuzzRequests, nil, ""},
	{"GET", "/jobs/{code}/record.csv", fuzzRequests, nil, ""},
	{"GET", "/jobs/{code}/blank.{kind:svg|dxf|pdf}", fuzzRequests, nil, ""},
	{"GET", "/jobs/{code}/thumb.svg", fuzzRequests, nil, ""},
	{"GET", "/jobs/{code}/finished.svg", fuzzRequests, nil, ""},
	{"GET", "/jobs/{code}/fold", fuzzRequests, nil, "There is no part BR-210 with revision C."},
	{"GET", "/t/{code}/fold", fuzzRequests, nil, "There is no part BR-210 with revision C."},
	{"GET", "/t/{code}/finished.svg", fuzzRequests, nil, ""},
	{"GET", "/jobs/{code}/photos", fuzzRequests, nil, ""},
	{"GET", "/jobs/{code}/photos/{photo:[0-9]{1,15}}", fuzzRequests, nil, ""},

	{"GET", "/review", fuzzRequests, []string{"material=mild-steel&thickness=1.50+mm&bar=wide&days=30&from=2026-01-01&to=2026-06-01&job=J-1&part=LP-1"}, ""},
	{"GET", "/review.csv", fuzzRequests, []string{"since=2026-01-01&limit=9"}, ""},
	{"GET", "/review/cell", fuzzRequests, []string{"material=mild-steel&thickness=1.50+mm&bar=wide&brake=leaf+brake+1.2+m&group=0"}, ""},
	{"GET", "/review/stops", fuzzRequests, nil, ""},
	{"POST", "/review/stops", fuzzRequests, []string{"STOPS-ACCEPTED", "STOPS-EDITED&stop=93,5"}, ""},
	{"POST", "/review/scale", fuzzRequests, []string{"brake=Long bench brake&kind=scale-set", "brake=x&kind=scale-stays"}, "no scale has moved there"},
	{"POST", "/review/k", fuzzRequests, []string{"K-ACCEPTED", "K-EDITED&k=0,41"}, ""},
	{"GET", "/review/replay", fuzzRequests, nil, ""},
	{"GET", "/review/first-pieces", fuzzRequests, []string{"material=mild-steel"}, ""},
	{"POST", "/review/first-pieces/{code}", fuzzRequests, []string{"cause=stop", "cause="}, ""},
	{"GET", "/review/unlogged", fuzzRequests, nil, ""},
	{"GET", "/review/measuring", fuzzRequests, nil, ""},
	{"POST", "/review/measuring", fuzzRequests, []string{"STUDY"}, ""},
	{"GET", "/review/time", fuzzRequests, nil, ""},
	{"POST", "/review/time", fuzzRequests, []string{"TIME-ACCEPTED", "TIME-EDITED&factor=1,3"}, ""},
	{"GET", "/review/weekly.pdf", fuzzRequests, []string{"days=7"}, ""},

	{"GET", "/parts", fuzzRequests, []string{"q=lp&archived=yes"}, ""},
	{"POST", "/parts", fuzzRequests, []string{"PART-TRAY", "PART-FILE", "PART-DRAWN", "PART-U&act=more", "PART-U&act=fewer", "PART-U&act=draw", "PART-U&act=ready"}, ""},
	{"GET", "/parts/new", fuzzRequests, []string{"kind=box", "from=PART", "from=PART&copy=yes", "from=PART&kind=file", "from=PART&change=[]"}, ""},
	{"POST", "/parts/drawing", fuzzRequests, []string{"PART-HAT", "PART-FILE", "PART-DRAWN"}, ""},
	{"GET", "/parts/{seq:[0-9]+}", fuzzRequests, nil, ""},
	{"POST", "/parts/{seq:[0-9]+}/marks", fuzzRequests, []string{"kind=archived", "kind=restored", "kind=ready"}, ""},
	{"GET", "/parts/{seq:[0-9]+}/changes", fuzzRequests, []string{"from=PART", "from=BRAKE"}, ""},
	{"GET", "/parts/{seq:[0-9]+}/part.json", fuzzRequests, nil, ""},
	{"GET", "/parts/{seq:[0-9]+}/blank.{kind:svg|dxf|pdf}", fuzzRequests, []string{"brake=BRAKE&quantity=20"}, ""},
	{"GET", "/parts/{seq:[0-9]+}/plans", fuzzRequests, []string{"quantity=20"}, ""},
	{"GET", "/parts/{seq:[0-9]+}/bends", fuzzRequests, []string{"brake=BRAKE&quantity=20&step=1&angle=30"}, ""},
	{"GET", "/parts/{seq:[0-9]+}/thumb.svg", fuzzRequests, nil, ""},
	{"GET", "/parts/{seq:[0-9]+}/frame.svg", fuzzRequests, []string{"brake=BRAKE&step=1&angle=30"}, ""},

	{"GET", "/brakes", fuzzRequests, nil, ""},
	{"POST", "/brakes", fuzzRequests, []string{"BRAKE-FORM", "BRAKE-FORM&act=draw", "BRAKE-FORM&act=add-bar&bar=0", "BRAKE-FORM&as=file"}, ""},
	{"GET", "/parts.csv", fuzzRequests, []string{"for=spreadsheet"}, ""},
	{"GET", "/parts/import", fuzzRequests, nil, ""},
	{"POST", "/parts/import", fuzzRequests, []string{"text=number%2Cmaterial%2Cthickness%2Clength%2Clegs%2Cbends%0AX%2C304%2C1%2C200%2C30+40%2C90"}, ""},
	{"GET", "/brakes/measure", fuzzRequests, nil, ""},
	{"GET", "/brakes/new", fuzzRequests, []string{"from=BRAKE", "file=yes", "from=BRAKE&change=[]"}, ""},
	{"GET", "/brakes/{seq:[0-9]+}", fuzzRequests, nil, ""},
	{"POST", "/brakes/{seq:[0-9]+}/fingers", fuzzRequests, []string{"missing-3-4=yes"}, ""},
	{"GET", "/brakes/{seq:[0-9]+}/changes", fuzzRequests, []string{"from=BRAKE", "from=PART"}, ""},
	{"GET", "/brakes/{seq:[0-9]+}/brake.json", fuzzRequests, nil, ""},

	{"GET", "/stock", fuzzRequests, nil, ""},
	{"POST", "/stock/packs", fuzzRequests, []string{"name=P-7&material=304&thickness=0.8&measured=0.88&heat=4711&note=x", "name=P-7&material=304&thickness=1/32+in&state=used"}, ""},
	{"GET", "/stock/trial", fuzzRequests, []string{"material=304&thickness=0.8&bar=wide&pack=P-7"}, ""},
	{"POST", "/stock/trial", fuzzRequests, []string{"TRIAL"}, ""},

	{"GET", "/setup", fuzzRequests, nil, ""},
	{"POST", "/setup", fuzzRequests, []string{"shop=Hollow+Lane&address=http://192.0.2.9:8080&units=in"}, ""},
	{"GET", "/shop", fuzzRequests, []string{"done=viewer"}, ""},
	{"POST", "/shop/password", fuzzAccounts, []string{"old=" + shoptest.Password + "&new=another+long+password", "old=guess&new=another+long+password", "old=" + shoptest.Password + "&new=short"}, ""},
	{"POST", "/shop/viewer", fuzzAccounts, []string{"viewer=some+other+password&act=set", "act=remove", "viewer=" + shoptest.Password}, ""},
	{"POST", "/shop/sessions", fuzzAccounts, []string{""}, ""},
	{"GET", "/running", fuzzRequests, nil, ""},
}

// fuzzable is a shop with something behind every address, for the fuzz targets.
type fuzzable struct {
	*shoptest.Shop
	cookies map[string]*http.Cookie // by role; that of nobody is nil
	fill    map[string]string       // what stands for the words in capitals

	lock    sync.Mutex
	entered []web.Route // those that let the last request in
}

// bottomless is a planner that never runs out of codes.
type bottomless struct {
	*shoptest.Bench
	random *rand.ChaCha8
}

func (b *bottomless) Issue(ctx context.Context, r planning.IssueRequest) (store.Issued, error) {
	if len(b.Codes) == 0 {
		code, err := traveler.NewCode(b.random)
		if err != nil {
			return store.Issued{}, err
		}
		b.Codes = append(b.Codes, code)
	}
	return b.Bench.Issue(ctx, r)
}

// Sessions of the fuzz targets, by role.
var fuzzTokens = map[string]string{store.RoleOwner: "token of the owner", store.RoleViewer: "token of the viewer"}

// fuzzShop opens a shop in which proposals wait for the owner, a piece is
// scrapped, a photo is kept, and a password takes next to nothing to try.
func fuzzShop(t testing.TB) *fuzzable {
	s, session := shoptest.OpenOffice(t)
	s.Restart(func(o *server.Options) {
		o.Planner = &bottomless{s.Bench, rand.NewChaCha8([32]byte{9})}
		o.PasswordCost = shoptest.Cheapest
	})
	s.RecordFirstPiece()
	s.Record(shoptest.ChannelCode, `{"id":"f9","piece":2,"step":1,"measured":45,"state":"scrapped","note":"torn"}`)
	s.Ask(shoptest.PhotoRequest(t, shoptest.ChannelPhotos, shoptest.PhotoFields(nil), shoptest.JpegPhoto(t)))
	part, issued := s.BentFlat(session)
	s.Strips(3)
	other := shoptest.ExampleOf("l", "LP-2", "A")
	other.Set("material", "304")
	s.SlowJobs(s.MakeReady(other, session), 1.5, session)
	spare := shoptest.Tray()
	spare.Code, spare.Job = spareCode, "J-1050"
	s.Issue(spare)
	f := &fuzzable{Shop: s, cookies: map[string]*http.Cookie{}}
	_, setup := s.Get("/setup", session)
	_, hello, _ := strings.Cut(setup, "/hello/")
	f.fill = map[string]string{"PART": part, "BRAKE": s.NewestBrake(), "ISSUED": issued, "HELLO": hello[:16]}
	f.parts()
	f.reset(t)
	f.proposals()
	var routes []web.Route
	for _, rt := range s.Server.Routes() {
		inner := rt.Answer
		rt.Answer = func(w http.ResponseWriter, r *http.Request) error {
			f.lock.Lock()
			f.entered = append(f.entered, rt)
			f.lock.Unlock()
			return inner(w, r)
		}
		routes = append(routes, rt)
	}
	s.Pages = s.Server.Serving(routes)
	return f
}

// proposals fills in the forms of decisions that wait for the owner now.
func (f *fuzzable) proposals() {
	f.Helper()
	for _, page := range []string{"/review/stops", "/review/time"} {
		_, body := f.Get(page, f.cookies[store.RoleOwner])
		for _, form := range shoptest.All(shoptest.Parsed(f, body), shoptest.Named("form")) {
			values := shoptest.Filled(form)
			name := map[string]string{"/review/stops": "STOPS", "/review/k": "K", "/review/time": "TIME"}[shoptest.Attribute(form, "action")]
			if kind := values.Get("kind"); name != "" && kind != "" {
				f.fill[name+"-"+strings.ToUpper(kind)] = values.Encode()
			}
		}
	}
	study := url.Values{"tool": {"bevel"}, "person-1": {"AB"}, "person-2": {"CD"}}
	for person := range 2 {
		for bend := range 3 {
			for turn := range 2 {
				study.Set(fmt.Sprintf("m-%d-%d-%d", person+1, bend+1, turn+1), "89,5")
			}
		}
	}
	f.fill["STUDY"], f.fill["TRIAL"] = study.Encode(), shoptest.TrialForm("adopt").Encode()
	f.fill["BRAKE-FORM"] = url.Values{"text": {string(shoptest.ExampleBrake(f))}}.Encode()
}

// parts fills in the forms of parts.
func (f *fuzzable) parts() {
	for _, kind := range []string{"tray", "u", "hat"} {
		f.fill["PART-"+strings.ToUpper(kind)] = shoptest.ExampleOf(kind, "FZ-"+kind, "A").Encode()
	}
	const file = `{"number":"RB-1","revision":"A","material":"304","thickness":1,"profile":{"length":200,"legs":[30,40],"bends":[-90]}}`
	f.fill["PART-FILE"] = url.Values{"kind": {shelf.FileKind}, "text": {file}}.Encode()
	line := func(layer string, x1, y1, x2, y2 int) string {
		return fmt.Sprintf("0\nLINE\n8\n%s\n10\n%d\n20\n%d\n11\n%d\n21\n%d\n", layer, x1, y1, x2, y2)
	}
	drawing := "0\nSECTION\n2\nENTITIES\n" + line("cut", 0, 0, 100, 0) + line("cut", 100, 0, 100, 60) + line("cut", 100, 60, 0, 60) + line("cut", 0, 60, 0, 0) +
		line("bend", 40, 0, 40, 60) + "0\nENDSEC\n0\nEOF\n"
	f.fill["PART-DRAWN"] = url.Values{"kind": {parts.DrawingKind}, "text": {drawing}, "number": {"DR-1"}, "revision": {"A"}, "material": {"304"}, "thickness": {"1"},
		"angle": {"90"}, "layer[0]": {"outline"}, "layer[1]": {"up"}, "drawn_in": {"mm"}}.Encode()
}

// reset gives the accounts the passwords that the tests know, at the least cost,
// and signs both in.
func (f *fuzzable) reset(t testing.TB) {
	t.Helper()
	ctx := context.Background()
	for role, set := range map[string]func(context.Context, store.Owner) error{store.RoleOwner: f.Store.SetOwner, store.RoleViewer: f.Store.SetViewer} {
		hash, err := shoptest.Cheapest.Hash(map[string]string{store.RoleOwner: shoptest.Password, store.RoleViewer: shoptest.ViewerPassword}[role], rand.NewChaCha8([32]byte{2}))
		if err != nil {
			t.Fatal(err)
		}
		if err := set(ctx, store.Owner{Name: role, PasswordHash: hash}); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.Store.EndSessions(ctx); err != nil {
		t.Fatal(err)
	}
	for role, token := range fuzzTokens {
		if err := f.Store.AddSession(ctx, store.Session{TokenHash: web.HashOf(token), Role: role, Expires: f.Now().Add(web.SessionLasts)}); err != nil {
			t.Fatal(err)
		}
		f.cookies[role] = &http.Cookie{Name: web.SessionCookie, Value: token}
	}
}

// spareCode is a sheet that only the grid of the owner writes to.
const spareCode = "sparem4xq2pvr9tab"

// address fills in the address of a route. What the owner decides, what is typed
// into the grid and what a phone logs go to three sheets, so that none ends the
// others.
func (f *fuzzable) address(rt fuzzed) string {
	code := shoptest.ChannelCode
	switch {
	case strings.HasSuffix(rt.path, "/events"):
		code = shoptest.TrayCode
	case strings.HasSuffix(rt.path, "/grid"):
		code = spareCode
	case strings.HasPrefix(rt.path, "/hello/"):
		code = f.fill["HELLO"]
	}
	seq := f.fill["PART"]
	if strings.HasPrefix(rt.path, "/brakes/") {
		seq = f.fill["BRAKE"]
	}
	return strings.NewReplacer("{code}", code, "{step:[0-9]{1,5}}", "1", "{file}", "bend.js", "{seq:[0-9]+}", seq,
		"{kind:svg|dxf|pdf}", "svg", "{photo:[0-9]{1,15}}", "1").Replace(rt.path)
}

// filledIn puts what the shop keeps in the place of the words in capitals, the
// longest first.
func (f *fuzzable) filledIn(text string) string {
	words := slices.SortedFunc(maps.Keys(f.fill), func(a, b string) int { return len(b) - len(a) })
	var pairs []string
	for _, w := range words {
		pairs = append(pairs, w, f.fill[w])
	}
	return strings.NewReplacer(pairs...).Replace(text)
}

// seed is one request that a fuzz target begins with.
type seed struct {
	method, path, kind, body string
}

// freeTexts are fields that the service keeps as they are typed.
var freeTexts = []string{"number", "title", "note", "name", "heat", "job", "by", "reason", "detail", "shop", "tool", "pack", "person-1"}

// seeds gives the requests of a route: as the service takes it, with markup for
// every value, with markup that is kept, as multipart form and as JSON.
func (f *fuzzable) seeds(rt fuzzed) []seed {
	path := f.address(rt)
	var out []seed
	for _, send := range append(slices.Clone(rt.send), "") {
		send = f.filledIn(send)
		values, err := url.ParseQuery(send)
		if err != nil {
			f.Fatal(err)
		}
		marked, kept := url.Values{}, maps.Clone(values)
		for name := range values {
			marked.Set(name, shoptest.TypedMarkup)
			if slices.Contains(freeTexts, name) {
				kept.Set(name, shoptest.TypedMarkup)
			}
		}
		if rt.method == http.MethodGet {
			out = append(out, seed{rt.method, path + "?" + send, shoptest.FormType, ""}, seed{rt.method, path + "?" + marked.Encode(), shoptest.FormType, ""})
			continue
		}
		kind, parts := multipartOf(f, values)
		out = append(out, seed{rt.method, path, shoptest.FormType, send}, seed{rt.method, path, shoptest.FormType, marked.Encode()}, seed{rt.method, path, shoptest.FormType, kept.Encode()}, seed{rt.method, path, kind, parts})
	}
	return append(out, seed{rt.method, path, "application/json", `{"id":"` + "<typed x=1>" + `","piece":1}`})
}

// multipartOf writes a form as one that could carry a file.
func multipartOf(t testing.TB, values url.Values) (kind, body string) {
	t.Helper()
	var out bytes.Buffer
	w := multipart.NewWriter(&out)
	if err := w.SetBoundary("x"); err != nil {
		t.Fatal(err)
	}
	for _, name := range slices.Sorted(maps.Keys(values)) {
		for _, v := range values[name] {
			if err := w.WriteField(name, v); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return w.FormDataContentType(), out.String()
}

// seedsOf gives the seeds of every route of a target.
func (f *fuzzable) seedsOf(target string) []seed {
	var out []seed
	for _, rt := range fuzzedRoutes {
		if rt.target == target {
			out = append(out, f.seeds(rt)...)
		}
	}
	return out
}

// hangsUp is a client that goes away once a stream has begun.
type hangsUp struct {
	*httptest.ResponseRecorder
	leave context.CancelFunc
}

func (h hangsUp) Flush() {
	h.ResponseRecorder.Flush()
	h.leave()
}

// answers sends a request and gives the answer and the routes that let it in.
func (f *fuzzable) answers(r *http.Request) (*httptest.ResponseRecorder, []web.Route) {
	f.entered = nil
	ctx, leave := context.WithCancel(r.Context())
	defer leave()
	w := httptest.NewRecorder()
	f.Pages.ServeHTTP(hangsUp{w, leave}, r.WithContext(ctx))
	return w, f.entered
}

// Every route is in the table, every route of the table is there and has a fuzz
// target, whose seeds come to it and, unless the table says why not, are taken.
func TestEveryRouteIsFuzzed(t *testing.T) {
	f := fuzzShop(t)
	known := make(map[[2]string]bool)
	for _, rt := range f.Server.Routes() {
		known[[2]string{rt.Method, rt.Path}] = true
	}
	for _, rt := range fuzzedRoutes {
		if !known[[2]string{rt.method, rt.path}] {
			t.Errorf("%s %s is in the table twice, or is no route", rt.method, rt.path)
		}
		delete(known, [2]string{rt.method, rt.path})
		if fuzzTargets[rt.target] == nil {
			t.Errorf("%s %s: there is no fuzz target %q", rt.method, rt.path, rt.target)
		}
		f.checkReached(t, rt)
	}
	for missing := range known {
		t.Errorf("%s %s is in no fuzz target: put it into fuzzedRoutes", missing[0], missing[1])
	}
}

func (f *fuzzable) checkReached(t *testing.T, rt fuzzed) {
	t.Helper()
	f.proposals() // what was logged since may have changed them
	reached, taken := false, false
	var why string // of the first, which the service should take
	for _, s := range f.seeds(rt) {
		f.Later(time.Minute) // or the sign-in is slowed down
		w, entered := f.answers(f.request(t, s, store.RoleOwner))
		for _, in := range entered {
			reached = reached || in.Method == rt.method && in.Path == rt.path
		}
		taken = taken || w.Code < 400
		if w.Code >= 400 && why == "" {
			why = fmt.Sprintf("%d %.300s", w.Code, shoptest.WordsIn(shoptest.Parsed(t, w.Body.String())))
		}
		f.reset(t)
	}
	if !reached {
		t.Errorf("%s %s is reached by no seed", rt.method, rt.path)
	}
	if taken != (rt.refused == "") {
		t.Errorf("%s %s is taken: %v, though the table says %q; the first refusal is %s", rt.method, rt.path, taken, rt.refused, why)
	}
}

// request makes the request of a seed.
func (f *fuzzable) request(t testing.TB, s seed, role string) *http.Request {
	target, err := url.ParseRequestURI(s.path)
	if err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest("GET", "http://192.0.2.7:8080/", strings.NewReader(s.body))
	r.Method, r.URL, r.RequestURI = s.method, target, s.path
	r.Header["Content-Type"] = []string{s.kind}
	r.AddCookie(&http.Cookie{Name: operator.InitialsCookie, Value: url.QueryEscape(shoptest.TypedMarkup)})
	if cookie := f.cookies[role]; cookie != nil {
		r.AddCookie(cookie)
	}
	return r
}
