package office

import (
	"fmt"
	"net/http"
	"net/url"

	"brakeside/server/say"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
)

type shopView struct {
	Frame    web.Frame
	Facts    []web.Pair
	Password []web.Group
	Viewer   []web.Group
	HasView  bool
	Sessions int
	Trouble  string
	Done     string
}

// ShopPage shows the settings of the shop and the accounts.
func (s *Section) ShopPage(w http.ResponseWriter, r *http.Request) error {
	return s.showShop(w, r, web.Filled{Values: url.Values{"done": {r.URL.Query().Get("done")}}})
}

var doneWords = map[string]string{
	"viewer": "The account that may only view is set.", "no-viewer": "The account that may only view is gone.",
	"figures": "The shop's figures are saved.",
}

func (s *Section) showShop(w http.ResponseWriter, r *http.Request, f web.Filled) error {
	ctx := r.Context()
	view := shopView{Frame: s.Frame(r, "shop"), Done: doneWords[f.Values.Get("done")], Facts: web.Pairs(
		"Shop", say.OrNone(s.Setting(ctx, store.SettingShop)), "Address for phones", s.Address(ctx), "Units", s.Ruler(ctx).Unit(),
		"Last backup", say.OrNone(s.Setting(ctx, "last-backup")),
	)}
	for _, fact := range web.Pairs("Trouble with backups", s.Setting(ctx, store.SettingBackupTrouble),
		"Damage found in what is stored", s.Setting(ctx, store.SettingDamage)) {
		if fact.Value != "" {
			view.Facts = append(view.Facts, fact)
		}
	}
	if _, err := s.Store.Viewer(ctx); err == nil {
		view.HasView = true
	}
	var err error
	if view.Sessions, err = s.Store.Sessions(ctx); err != nil {
		return err
	}
	view.Password = []web.Group{{Fields: []web.Field{
		{Name: "old", Label: "Password now", Secret: true, Needed: true},
		{Name: "new", Label: "New password", Secret: true, Needed: true, Hint: "12 letters or more"},
	}}}
	view.Viewer = []web.Group{{Fields: []web.Field{
		{Name: "viewer", Label: "Password of the viewer", Secret: true, Needed: true, Hint: "12 letters or more"},
	}}}
	view.Trouble = web.FillIn(view.Password, f.Values, f.Fail)
	if view.Trouble != "" {
		view.Trouble = web.FillIn(view.Viewer, f.Values, f.Fail)
	}
	return s.Show(w, web.Page{Status: web.FormStatus(f.Fail), Name: "owner/shop", View: view})
}

type runningView struct {
	Frame                 web.Frame
	Unit, Layout, Address string
}

// RunningPage tells how the service is kept running, to be printed and hung up
// beside the machine.
func (s *Section) RunningPage(w http.ResponseWriter, r *http.Request) error {
	return s.Show(w, web.Page{Name: "owner/running", View: runningView{
		Frame: s.Frame(r, "shop"), Address: s.Address(r.Context()), Layout: fmt.Sprint(traveler.Form),
	}})
}
