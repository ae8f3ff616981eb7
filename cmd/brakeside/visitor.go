package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"path"
	"strconv"
	"strings"
	"time"
)

// visitor uses the service over HTTP, as the browsers of the shop do.
type visitor struct {
	at   string // where the service listens on this machine
	http *http.Client
}

// newVisitor makes a visitor of a service that listens on this machine.
func newVisitor(v *service) *visitor {
	jar, _ := cookiejar.New(nil) // never fails without options
	at := v.listener.Addr().String()
	if host, port, found := strings.Cut(at, "]:"); found && strings.HasPrefix(host, "[::") {
		at = "127.0.0.1:" + port
	}
	return &visitor{at: "http://" + at, http: &http.Client{
		Jar: jar, Timeout: 30 * time.Second,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
}

// do sends one request and wants one of the statuses.
func (v *visitor) do(ctx context.Context, method, to, kind string, body []byte, want ...int) (*http.Response, []byte, error) {
	r, err := http.NewRequestWithContext(ctx, method, v.at+to, bytes.NewReader(body))
	if err != nil {
		return nil, nil, err
	}
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	answer, err := v.http.Do(r)
	if err != nil {
		return nil, nil, err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(io.LimitReader(answer.Body, 16<<20))
	if err != nil {
		return nil, nil, err
	}
	for _, w := range want {
		if answer.StatusCode == w {
			return answer, text, nil
		}
	}
	return nil, nil, fmt.Errorf("%s %s answered %s", method, to, answer.Status)
}

const formKind = "application/x-www-form-urlencoded"

func (v *visitor) signIn(ctx context.Context, password string) error {
	form := url.Values{"password": {password}}
	_, _, err := v.do(ctx, http.MethodPost, "/signin", formKind, []byte(form.Encode()), http.StatusSeeOther)
	return err
}

// issue has the owner's pages keep a part, make it ready and issue a sheet for
// it on the first brake, and gives the code of the sheet.
func (v *visitor) issue(ctx context.Context, j demoJob, file []byte) (string, error) {
	kept, err := v.post(ctx, "/parts", url.Values{"kind": {"file"}, "text": {string(file)}, "act": {"ready"}})
	if err != nil {
		return "", err
	}
	code, err := v.post(ctx, "/jobs", url.Values{
		"job": {j.number}, "quantity": {strconv.Itoa(j.quantity)}, "by": {"owner"}, "part": {kept}, "brake": {"1"},
	})
	return code, err
}

// post sends a form and gives the end of the address it leads to.
func (v *visitor) post(ctx context.Context, to string, form url.Values) (string, error) {
	answer, _, err := v.do(ctx, http.MethodPost, to, formKind, []byte(form.Encode()), http.StatusSeeOther)
	if err != nil {
		return "", err
	}
	return path.Base(answer.Header.Get("Location")), nil
}

func (v *visitor) fetch(ctx context.Context, to string) ([]byte, error) {
	_, body, err := v.do(ctx, http.MethodGet, to, "", nil, http.StatusOK)
	return body, err
}

// sheetState is what the demo needs of a sheet's state.
type sheetState struct {
	Steps []struct {
		Step   int     `json:"step"`
		Target float64 `json:"target"`
	} `json:"steps"`
	Next *struct {
		Piece int `json:"piece"`
		Step  int `json:"step"`
	} `json:"next"`
}

func (s sheetState) target(step int) float64 {
	for _, t := range s.Steps {
		if t.Step == step {
			return t.Target
		}
	}
	return 0
}

func (v *visitor) state(ctx context.Context, code string) (sheetState, error) {
	var s sheetState
	body, err := v.fetch(ctx, "/t/"+code+"/state")
	if err != nil {
		return s, err
	}
	return s, json.Unmarshal(body, &s)
}

// reading is one reading as a phone sends it.
type reading struct {
	ID       string  `json:"id"`
	Piece    int     `json:"piece"`
	Step     int     `json:"step"`
	Measured float64 `json:"measured"`
	By       string  `json:"by"`
	At       string  `json:"at"`
}

func (v *visitor) log(ctx context.Context, code string, r reading) error {
	body, err := json.Marshal(r)
	if err != nil {
		return err
	}
	_, _, err = v.do(ctx, http.MethodPost, "/t/"+code+"/readings", "application/json", body, http.StatusCreated)
	return err
}
