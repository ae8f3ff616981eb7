package brakes

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/server/shelf"
	"brakeside/server/web"
)

// What the buttons below the bars of the form do.
const (
	addBar  = "add-bar"
	dropBar = "drop-bar"
)

// kindNeeds lists what a kind of bar is asked besides what every bar is.
var kindNeeds = map[string][]string{
	"round":    {"outside_radius"},
	"segments": {"widths", "joint_gap_max", "end_gap", "unsupported_end_max"},
	"slotted":  {"slots.first", "slots.pitch", "slots.count", "slots.width", "slots.height"},
}

// asks reports whether the form shows a field of a bar: one it has, or one that
// its kind needs.
func asks(bar map[string]any, field string) bool {
	if _, has := at(bar, field); has {
		return true
	}
	kind, _ := bar["kind"].(string)
	return slices.Contains(kindNeeds[kind], field)
}

// changeBars adds a bar to the form of a brake, or takes one away; nothing is
// kept by that.
func (s *Section) changeBars(w http.ResponseWriter, r *http.Request, form url.Values) error {
	file, err := typedBrake(form)
	if err == nil {
		file, err = withBars(file, form)
	}
	if web.IsRefusal(err) {
		return s.showBrakeForm(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	return s.showBrakeForm(w, r, web.Filled{Values: url.Values{"text": {string(file)}, "from": {form.Get("from")}}})
}

// withBars does what the pressed button says to the bars of a brake file.
func withBars(file []byte, form url.Values) ([]byte, error) {
	root, err := shelf.Decoded(file)
	if err != nil {
		return nil, err
	}
	bars, _ := root["bars"].([]any)
	which, err := strconv.Atoi(form.Get("bar"))
	if err != nil || which < 0 || which >= len(bars) {
		return nil, fault.New(fault.Invalid, "bar", "Choose one of the bars.")
	}
	switch form.Get("act") {
	case addBar:
		like, err := copied(bars[which])
		if err != nil {
			return nil, err
		}
		like["name"] = freeName(barsOf(root), fmt.Sprint(like["name"]))
		delete(like, "missing")
		root["bars"] = append(bars, like)
	case dropBar:
		if len(bars) == 1 {
			return nil, fault.New(fault.Invalid, "bar", "A brake has at least one bar. Change this one, or add another first.")
		}
		root["bars"] = slices.Delete(bars, which, which+1)
	}
	return json.MarshalIndent(root, "", " ")
}

// copied gives a bar of a file anew, with nothing in common with the old one.
func copied(bar any) (map[string]any, error) {
	text, err := json.Marshal(bar)
	if err != nil {
		return nil, err
	}
	return shelf.Decoded(text)
}

// freeName makes a name that no bar has yet.
func freeName(bars []map[string]any, like string) string {
	taken := func(name string) bool {
		return slices.ContainsFunc(bars, func(b map[string]any) bool { return b["name"] == name })
	}
	stem := strings.TrimRight(like, " 0123456789")
	for n := 2; ; n++ {
		if name := fmt.Sprintf("%s %d", stem, n); !taken(name) {
			return name
		}
	}
}

// barChoices lists the bars of a file to choose from.
func barChoices(file []byte) []web.Option {
	root, err := shelf.Decoded(file)
	if err != nil {
		return nil
	}
	var out []web.Option
	for i, bar := range barsOf(root) {
		out = append(out, web.Option{Value: strconv.Itoa(i), Words: fmt.Sprint(bar["name"]), Chosen: false})
	}
	return out
}
