package office

import (
	"cmp"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"

	"brakeside/calc/fault"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/draw"
	"brakeside/traveler/qr"
)

// greetings remembers the test code of the setup page, and whether a phone has
// opened it. A code is good until the next one is made.
type greetings struct {
	lock    sync.Mutex
	code    string
	greeted bool
}

// begin gives the code that is good now, made by fresh if there is none.
func (g *greetings) begin(fresh func() (string, error)) (code string, greeted bool, err error) {
	g.lock.Lock()
	defer g.lock.Unlock()
	if g.code == "" {
		g.code, err = fresh()
	}
	return g.code, g.greeted, err
}

// greet notes that a phone came with a code.
func (g *greetings) greet(code string) bool {
	g.lock.Lock()
	defer g.lock.Unlock()
	if g.code == "" || code != g.code {
		return false
	}
	g.greeted = true
	return true
}

// forget ends the code: the address has changed, and must be tried anew.
func (g *greetings) forget() {
	g.lock.Lock()
	defer g.lock.Unlock()
	g.code, g.greeted = "", false
}

type setupView struct {
	Frame    web.Frame
	First    bool
	Groups   []web.Group
	Trouble  string
	Test     template.HTML
	TestLink string
	Greeted  bool
	Fixed    string
	// Addresses of this machine, each a button.
	Addresses []string
	Loopback  bool
}

// SetupPage asks the three questions that a shop begins with, and shows a code
// to try the address with.
func (s *Section) SetupPage(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	values := url.Values{
		"shop": {s.Setting(ctx, store.SettingShop)}, "address": {s.Address(ctx)}, "units": {s.Ruler(ctx).Unit()},
		"decimal":  {cmp.Or(s.Setting(ctx, store.SettingDecimal), ".")},
		"initials": {cmp.Or(s.Setting(ctx, store.SettingInitials), "30")},
	}
	return s.showSetup(w, r, web.Filled{Values: values})
}

func (s *Section) showSetup(w http.ResponseWriter, r *http.Request, f web.Filled) error {
	address := web.Field{
		Name: "address", Label: "2. At which address do phones reach this machine?", Needed: true, Hint: "as http://192.0.2.7:8080",
	}
	first := s.Setting(r.Context(), store.SettingSetUp) == ""
	view := setupView{Frame: s.Frame(r, "shop"), First: first, Addresses: s.addresses, Groups: []web.Group{{Fields: []web.Field{
		{Name: "shop", Label: "1. What is the shop called?", Hint: "printed on every sheet", Needed: true},
		address,
		{
			Name: "units", Label: "3. Which units does the shop use?",
			Choices: web.Choices("", "mm", "millimetres, inches beside them", "in", "inches, millimetres beside them"),
		},
	}}}}
	if !first { // a shop begins with three questions
		view.Groups[0].Fields = append(view.Groups[0].Fields, web.Field{
			Name: "decimal", Label: "How do spreadsheets here write one half?", Choices: web.Choices("", ".", "0.5", ",", "0,5"),
		}, web.Field{
			Name: "initials", Label: "Minutes without a reading after which a phone asks for initials again", Hint: "0: never",
		})
	}
	if s.FixedBase {
		view.Fixed = s.Base
	}
	view.Trouble = web.FillIn(view.Groups, f.Values, f.Fail)
	code, greeted, err := s.greetings.begin(func() (string, error) { return s.Secret(8) })
	if err != nil {
		return err
	}
	view.TestLink, view.Greeted = s.Address(r.Context())+"/hello/"+code, greeted
	view.Loopback = strings.Contains(view.TestLink, "//127.") || strings.Contains(view.TestLink, "//localhost")
	if view.Test, err = codePicture(view.TestLink); err != nil {
		return err
	}
	return s.Show(w, web.Page{Status: web.FormStatus(f.Fail), Name: "owner/setup", View: view})
}

// codePicture draws a code with its quiet zone.
func codePicture(address string) (template.HTML, error) {
	const side = 40.0
	cells, err := qr.Mark(address, qr.Q, 0, 0, side)
	if err != nil {
		return "", err
	}
	quiet := qr.QuietZone(cells)
	cells.X, cells.Y = quiet, quiet
	return web.Picture(&draw.Page{
		Title: "Code to try the address with", Width: side + 2*quiet, Height: side + 2*quiet, Marks: []draw.Mark{cells},
	})
}

// KeepSetup keeps the answers.
func (s *Section) KeepSetup(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	if use := form.Get("use"); use != "" {
		form.Set("address", use)
	}
	if err := checkSetup(form); err != nil {
		return s.showSetup(w, r, web.Filled{Values: form, Fail: err})
	}
	before := s.Address(r.Context())
	answers := [][2]string{
		{store.SettingShop, form.Get("shop")}, {store.SettingAddress, strings.TrimRight(form.Get("address"), "/")},
		{store.SettingUnits, form.Get("units")}, {store.SettingInitials, form.Get("initials")}, {store.SettingSetUp, "yes"},
		{store.SettingDecimal, cmp.Or(form.Get("decimal"), ".")},
	}
	for _, a := range answers {
		if err := s.Store.KeepSetting(r.Context(), a[0], a[1]); err != nil {
			return err
		}
	}
	if s.Address(r.Context()) != before {
		s.greetings.forget()
	}
	return web.GoOn(w, r, "/setup", web.SaidSetup)
}

func checkSetup(form url.Values) error {
	var faults []error
	if n := len([]rune(form.Get("shop"))); n == 0 || n > 80 {
		faults = append(faults, fault.New(fault.Invalid, "shop", "Give the shop a name of 1 to 80 letters."))
	}
	at, err := url.Parse(form.Get("address"))
	if err != nil || (at.Scheme != "http" && at.Scheme != "https") || at.Host == "" ||
		at.RawQuery != "" || at.Fragment != "" || strings.Trim(at.Path, "/") != "" {
		faults = append(faults, fault.New(fault.Invalid, "address",
			"%.60q is no address; write for example http://192.0.2.7:8080", form.Get("address")))
	}
	if n, err := strconv.Atoi(cmp.Or(form.Get("initials"), "30")); err != nil || n < 0 || n > 1440 {
		faults = append(faults, fault.New(fault.Invalid, "initials", "Give whole minutes from 0 to 1440; 0 is never."))
	}
	if u := form.Get("units"); u != "mm" && u != "in" {
		faults = append(faults, fault.New(fault.Invalid, "units", "Choose millimetres or inches."))
	}
	if d := form.Get("decimal"); d != "" && d != "." && d != "," {
		faults = append(faults, fault.New(fault.Invalid, "decimal", "Choose a point or a comma."))
	}
	return fault.Together(faults)
}

// Hello answers a phone that tries the address of the setup page.
func (s *Section) Hello(w http.ResponseWriter, r *http.Request) error {
	if !s.greetings.greet(web.Variable(r, "code")) {
		return fault.New(fault.Missing, "", "This test code is not good any more. Take the one on the office screen.")
	}
	s.News.Tell()
	return s.Show(w, web.Page{Name: "operator/hello", View: struct{ Shop string }{s.Setting(r.Context(), store.SettingShop)}})
}
