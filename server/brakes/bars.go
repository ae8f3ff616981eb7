package brakes

import (
	"encoding/json"
	"fmt"
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
