package server

import (
	"context"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strings"
	"sync"

	"brakeside/calc/fault"
	"brakeside/server/store"
	"brakeside/traveler"
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
	Frame    frameView
	First    bool
	Groups   []formGroup
	Trouble  string
	Test     template.HTML
	TestLink string
	Greeted  bool
	Fixed    string
	Loopback bool
}

// setupPage asks the three questions that a shop begins with, and shows a code
// to try the address with.
func (s *Server) setupPage(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	values := url.Values{"shop": {s.setting(ctx, store.SettingShop)}, "address": {s.address(ctx)}, "units": {s.ruler(ctx).unit()}}
	return s.showSetup(w, r, partForm{values: values})
}

func (s *Server) showSetup(w http.ResponseWriter, r *http.Request, f partForm) error {
	address := formField{Name: "address", Label: "2. At which address do phones reach this machine?", Needed: true, Hint: "as http://192.0.2.7:8080"}
	if len(s.addresses) > 0 {
		address.Hint = "this machine goes by " + strings.Join(s.addresses, " or ")
	}
	view := setupView{Frame: s.frame(r, "shop"), First: s.setting(r.Context(), store.SettingSetUp) == "", Groups: []formGroup{{Fields: []formField{
		{Name: "shop", Label: "1. What is the shop called?", Hint: "printed on every sheet", Needed: true},
		address,
		{Name: "units", Label: "3. Which units does the shop use?", Choices: chosen("", "mm", "millimetres, inches beside them", "in", "inches, millimetres beside them")},
	}}}}
	if s.fixedBase {
		view.Fixed = s.base
	}
	view.Trouble = filledIn(view.Groups, f.values, f.fail)
	code, greeted, err := s.greetings.begin(func() (string, error) { return s.secret(8) })
	if err != nil {
		return err
	}
	view.TestLink, view.Greeted = s.address(r.Context())+"/hello/"+code, greeted
	view.Loopback = strings.Contains(view.TestLink, "//127.") || strings.Contains(view.TestLink, "//localhost")
	if view.Test, err = codePicture(view.TestLink); err != nil {
		return err
	}
	return s.show(w, page{formStatus(f.fail), "owner/setup", view})
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
	return picture(&draw.Page{Title: "Code to try the address with", Width: side + 2*quiet, Height: side + 2*quiet, Marks: []draw.Mark{cells}})
}

// keepSetup keeps the answers.
func (s *Server) keepSetup(w http.ResponseWriter, r *http.Request) error {
	form, err := s.readOffice(w, r)
	if err != nil {
		return err
	}
	if err := checkSetup(form); err != nil {
		return s.showSetup(w, r, partForm{form, err})
	}
	before := s.address(r.Context())
	answers := [][2]string{{store.SettingShop, form.Get("shop")}, {store.SettingAddress, strings.TrimRight(form.Get("address"), "/")}, {store.SettingUnits, form.Get("units")}, {store.SettingSetUp, "yes"}}
	for _, a := range answers {
		if err := s.store.KeepSetting(r.Context(), a[0], a[1]); err != nil {
			return err
		}
	}
	if s.address(r.Context()) != before {
		s.greetings.forget()
	}
	http.Redirect(w, r, "/setup", http.StatusSeeOther)
	return nil
}

func checkSetup(form url.Values) error {
	if n := len([]rune(form.Get("shop"))); n == 0 || n > 80 {
		return fault.New(fault.Invalid, "shop", "Give the shop a name of 1 to 80 letters.")
	}
	at, err := url.Parse(form.Get("address"))
	if err != nil || (at.Scheme != "http" && at.Scheme != "https") || at.Host == "" || at.RawQuery != "" || at.Fragment != "" || strings.Trim(at.Path, "/") != "" {
		return fault.New(fault.Invalid, "address", "%.60q is no address; write for example http://192.0.2.7:8080", form.Get("address"))
	}
	if u := form.Get("units"); u != "mm" && u != "in" {
		return fault.New(fault.Invalid, "units", "Choose millimetres or inches.")
	}
	return nil
}

// hello answers a phone that tries the address of the setup page.
func (s *Server) hello(w http.ResponseWriter, r *http.Request) error {
	if !s.greetings.greet(variable(r, "code")) {
		return fault.New(fault.Missing, "", "This test code is not good any more. Take the one on the office screen.")
	}
	s.news.tell()
	return s.show(w, page{0, "operator/hello", struct{ Shop string }{s.setting(r.Context(), store.SettingShop)}})
}

type shopView struct {
	Frame    frameView
	Facts    []fieldView
	Password []formGroup
	Viewer   []formGroup
	HasView  bool
	Sessions int
	Trouble  string
	Done     string
}

// shopPage shows the settings of the shop and the accounts.
func (s *Server) shopPage(w http.ResponseWriter, r *http.Request) error {
	return s.showShop(w, r, partForm{values: url.Values{"done": {r.URL.Query().Get("done")}}})
}

var doneWords = map[string]string{
	"viewer": "The account that may only view is set.", "no-viewer": "The account that may only view is gone.", "figures": "The shop's figures are kept.",
}

func (s *Server) showShop(w http.ResponseWriter, r *http.Request, f partForm) error {
	ctx := r.Context()
	view := shopView{Frame: s.frame(r, "shop"), Done: doneWords[f.values.Get("done")], Facts: []fieldView{
		{"Shop", orNone(s.setting(ctx, store.SettingShop))}, {"Address for phones", s.address(ctx)}, {"Units", s.ruler(ctx).unit()},
		{"Last backup", orNone(s.setting(ctx, "last-backup"))},
	}}
	if trouble := s.setting(ctx, "backup-trouble"); trouble != "" {
		view.Facts = append(view.Facts, fieldView{"Trouble with backups", trouble})
	}
	if _, err := s.store.Viewer(ctx); err == nil {
		view.HasView = true
	}
	var err error
	if view.Sessions, err = s.store.Sessions(ctx); err != nil {
		return err
	}
	view.Password = []formGroup{{Fields: []formField{
		{Name: "old", Label: "Password now", Secret: true, Needed: true}, {Name: "new", Label: "New password", Secret: true, Needed: true, Hint: "12 letters or more"},
	}}}
	view.Viewer = []formGroup{{Fields: []formField{{Name: "viewer", Label: "Password of the viewer", Secret: true, Needed: true, Hint: "12 letters or more"}}}}
	view.Trouble = filledIn(view.Password, f.values, f.fail)
	if view.Trouble != "" {
		view.Trouble = filledIn(view.Viewer, f.values, f.fail)
	}
	return s.show(w, page{formStatus(f.fail), "owner/shop", view})
}

// setPassword changes the owner's password and signs everybody out.
func (s *Server) setPassword(w http.ResponseWriter, r *http.Request) error {
	form, err := s.readOffice(w, r)
	if err != nil {
		return err
	}
	if wait := s.signins.wait(address(r), s.now()); wait > 0 {
		return tooOften(wait)
	}
	owner, err := s.store.Owner(r.Context())
	if err != nil {
		return err
	}
	right, err := s.tryPassword(owner, form.Get("old"))
	if err != nil {
		return err
	}
	if !right {
		s.signins.failed(address(r), s.now())
		return s.showShop(w, r, partForm{form, fault.New(fault.Invalid, "old", "That is not the password.")})
	}
	hash, err := s.hashOfNew(r.Context(), "new", form.Get("new"))
	if isRefusal(err) {
		return s.showShop(w, r, partForm{form, err})
	}
	if err != nil {
		return err
	}
	if err := s.store.SetOwner(r.Context(), store.Owner{Name: owner.Name, PasswordHash: hash}); err != nil {
		return err
	}
	http.Redirect(w, r, "/signin", http.StatusSeeOther)
	return nil
}

// hashOfNew hashes a new password. It must be long enough, and of one account
// only: the password alone says who signs in.
func (s *Server) hashOfNew(ctx context.Context, field, password string) (string, error) {
	if n := len([]rune(password)); n < 12 || len(password) > mostPassword {
		return "", fault.New(fault.Invalid, field, "This has %d letters; take 12 to %d.", n, mostPassword)
	}
	accounts := []func(context.Context) (store.Owner, error){s.store.Owner, s.store.Viewer}
	for _, of := range accounts {
		account, err := of(ctx)
		if fault.KindOf(err) == fault.Missing {
			continue
		}
		if err != nil {
			return "", err
		}
		same, err := s.tryPassword(account, password)
		if err != nil {
			return "", err
		}
		if same {
			return "", fault.New(fault.Invalid, field, "This password is in use. Take another one.")
		}
	}
	s.hashing.Lock()
	defer s.hashing.Unlock()
	return s.hashCost.hash(password, s.random)
}

// setViewer sets the account that may only view, or takes it away.
func (s *Server) setViewer(w http.ResponseWriter, r *http.Request) error {
	form, err := s.readOffice(w, r)
	if err != nil {
		return err
	}
	if form.Get("act") == "remove" {
		if err := s.store.SetViewer(r.Context(), store.Owner{}); err != nil {
			return err
		}
		http.Redirect(w, r, "/shop?done=no-viewer", http.StatusSeeOther)
		return nil
	}
	hash, err := s.hashOfNew(r.Context(), "viewer", form.Get("viewer"))
	if isRefusal(err) {
		return s.showShop(w, r, partForm{form, err})
	}
	if err != nil {
		return err
	}
	if err := s.store.SetViewer(r.Context(), store.Owner{Name: store.RoleViewer, PasswordHash: hash}); err != nil {
		return err
	}
	http.Redirect(w, r, "/shop?done=viewer", http.StatusSeeOther)
	return nil
}

// signOutAll ends every session.
func (s *Server) signOutAll(w http.ResponseWriter, r *http.Request) error {
	if err := s.store.EndSessions(r.Context()); err != nil {
		return err
	}
	http.Redirect(w, r, "/signin", http.StatusSeeOther)
	return nil
}

type runningView struct {
	Frame                 frameView
	Unit, Layout, Address string
}

// runningPage tells how the service is kept running, to be printed and hung up
// beside the machine.
func (s *Server) runningPage(w http.ResponseWriter, r *http.Request) error {
	return s.show(w, page{0, "owner/running", runningView{
		Frame: s.frame(r, "shop"), Address: s.address(r.Context()), Layout: fmt.Sprint(traveler.Form),
	}})
}
