package server_test

import (
	"bytes"
	"context"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
	"brakeside/server/web"
)

// hostile is a request that means no good, and the statuses that are a proper
// answer to it.
type hostile struct {
	name, method, path, kind, body string
	headers                        http.Header
	want                           []int
}

// reading writes the body of a reading in which one field is something else.
func readingWith(field, value string) string {
	fields := map[string]string{"id": `"x"`, "piece": "1", "step": "1", "measured": "45"}
	fields[field] = value
	var all []string
	for name, v := range fields {
		all = append(all, `"`+name+`":`+v)
	}
	return "{" + strings.Join(all, ",") + "}"
}

func hostileReadings() []hostile {
	bodies := []struct {
		name, body string
		want       int
	}{
		{"NaN", readingWith("measured", "NaN"), 400},
		{"infinity", readingWith("measured", "1e999"), 422},
		{"an angle as text", readingWith("measured", `"45"`), 422},
		{"an angle as a list", readingWith("measured", `[45]`), 422},
		{"minus 400 degrees", readingWith("measured", "-400"), 422},
		{"a huge angle", readingWith("measured", "1e12"), 422},
		{"a piece of zero", readingWith("piece", "0"), 422},
		{"a piece below zero", readingWith("piece", "-3"), 422},
		{"half a piece", readingWith("piece", "1.5"), 422},
		{"a piece beyond all numbers", readingWith("piece", "99999999999999999999"), 422},
		{"a step below zero", readingWith("step", "-1"), 422},
		{"a step as an object", readingWith("step", `{"a":1}`), 422},
		{"an id that is SQL", readingWith("id", `"x'; DROP TABLE reading; --"`), 422},
		{"an id that is a tag", readingWith("id", `"<script>alert(1)</script>"`), 422},
		{"an empty id", readingWith("id", `""`), 422},
		{"a long id", readingWith("id", `"`+strings.Repeat("x", 500)+`"`), 422},
		{"an id as a number", readingWith("id", "7"), 422},
		{"given as nonsense", readingWith("given_as", `"radians"`), 422},
		{"a place elsewhere", readingWith("place", `"behind"`), 422},
		{"an unknown state", readingWith("state", `"melted"`), 422},
		{"an unknown flag", readingWith("flags", `["on-fire"]`), 422},
		{"flags as text", readingWith("flags", `"bar-lifted"`), 422},
		{"a thousand flags", readingWith("flags", `[`+strings.Repeat(`"bar-lifted",`, 999)+`"bar-lifted"]`), 422},
		{"three ends of a bar", readingWith("nose_setback", `[1,2,3]`), 422},
		{"a leg below zero", readingWith("leg", "-5"), 422},
		{"a thickness of a metre", readingWith("thickness", "1000"), 422},
		{"a stop beyond the scale", readingWith("stop", "9999"), 422},
		{"a time that is none", readingWith("at", `"yesterday"`), 422},
		{"a long note", readingWith("note", `"`+strings.Repeat("n", 2000)+`"`), 422},
		{"confirmed as text", readingWith("confirmed", `"yes"`), 422},
		{"correcting what is not there", readingWith("corrects", `"nobody"`), 422},
		{"correcting itself", readingWith("corrects", `"x"`), 422},
		{"seq given from outside", readingWith("seq", "1"), 422},
		{"error given from outside", readingWith("error", "0"), 422},
		{"a field twice", `{"id":"x","id":"y","piece":1,"step":1,"measured":45}`, 422},
		{"a field in capitals", `{"ID":"x","piece":1,"step":1,"measured":45}`, 422},
		{"two objects", readingWith("piece", "1") + readingWith("piece", "1"), 400},
		{"cut off", `{"id":"x","piece":1`, 400},
		{"deep", strings.Repeat("[", 15000), 400},
		{"not UTF-8", "{\"id\":\"\xff\xfe\",\"piece\":1,\"step\":1,\"measured\":45}", 400},
		{"a null byte", "{\"id\":\"x\x00\",\"piece\":1,\"step\":1,\"measured\":45}", 400},
		{"null", "null", 400},
		{"a byte order mark", "\uFEFF" + readingWith("piece", "1"), 400},
	}
	var all []hostile
	for _, b := range bodies {
		all = append(all, hostile{name: b.name, method: "POST", path: shoptest.ChannelReadings, kind: "application/json", body: b.body, want: []int{b.want}})
	}
	return all
}

func hostileForms() []hostile {
	form := func(name, body string, want ...int) hostile {
		return hostile{name: name, method: "POST", path: shoptest.ChannelReadings, kind: shoptest.FormType, body: body, want: want}
	}
	return []hostile{
		form("a form that is broken", "%zz=1&%", 400),
		form("an empty form", "", 422),
		form("a form of unknown fields", "colour=red", 422),
		form("a form with a field twice", "id=x&id=y&piece=1&step=1&measured=45", 422),
		form("a form with a tag as angle", "id=x&piece=1&step=1&measured="+url.QueryEscape("<script>alert(1)</script>"), 422),
		form("a form with a tag as note, refused for its angle", "id=x&piece=1&step=1&measured=z&note="+url.QueryEscape(`"><script>alert(1)</script>`), 422),
		form("a form with an angle in hexadecimal", "id=x&piece=1&step=1&measured=0x2d", 422),
		form("a form with a thousand fields", strings.Repeat("a=1&", 1000), 422),
		form("a form of 100 kB", "note="+strings.Repeat("x", 100<<10), 413),
		form("a form with an infinite angle", "id=x&piece=1&step=1&measured=Inf", 422),
	}
}

func hostilePaths() []hostile {
	get := func(name, path string, want ...int) hostile {
		return hostile{name: name, method: "GET", path: path, want: want}
	}
	return []hostile{
		get("up and out", "/t/../../etc/passwd", 301, 404),
		get("up and out, written otherwise", "/static/%2e%2e%2f%2e%2e%2fetc%2fpasswd", 301, 404),
		get("up in the static files", "/static/..%5clayout.html", 404),
		get("a folder of static files", "/static/", 404),
		get("SQL for a code", "/t/"+url.PathEscape("' OR 1=1 --"), 404),
		get("a tag for a code", "/t/"+url.PathEscape("<script>alert(1)</script>"), 404),
		get("a null byte in a code", "/t/abc%00def", 404),
		get("a code of 10 kB", "/t/"+strings.Repeat("a", 10<<10), 404),
		get("an empty code", "/t/", 404),
		get("a step beyond all numbers", "/t/"+shoptest.ChannelCode+"/99999", 404),
		get("a step of very many digits", "/t/"+shoptest.ChannelCode+"/"+strings.Repeat("9", 300), 404),
		get("a step below zero", "/t/"+shoptest.ChannelCode+"/-1", 404),
		get("a piece beyond all numbers", "/t/"+shoptest.ChannelCode+"/1?piece=99999999999999999999", 404),
		get("a piece below zero", "/t/"+shoptest.ChannelCode+"/1?piece=-1", 404),
		get("a tag for a saved reading", "/t/"+shoptest.ChannelCode+"?saved=%3Cscript%3Ealert(1)%3C/script%3E", 404),
		get("a tag as what is corrected", "/t/"+shoptest.ChannelCode+"/1?corrects=%22%3E%3Cscript%3Ealert(1)%3C/script%3E", 200),
		get("a broken query", "/t/"+shoptest.ChannelCode+"?saved=%zz", 200),
		get("an owner's page", "/jobs/"+shoptest.ChannelCode, 303),
		get("an owner's export", "/review.csv", 303),
		get("another site after the sign-in", "/signin?next=//evil.example/", 200),
		get("an owner's photo", "/jobs/"+shoptest.ChannelCode+"/photos/1", 303),
		get("a photo of no number", "/jobs/"+shoptest.ChannelCode+"/photos/-1", 404),
		get("a photo beyond all numbers", "/jobs/"+shoptest.ChannelCode+"/photos/"+strings.Repeat("9", 40), 404),
		get("the numbers of the service", "/metrics", 303),
		{name: "the numbers, as if from the machine", method: "GET", path: "/metrics", headers: http.Header{"X-Forwarded-For": {"127.0.0.1"}, "Host": {"127.0.0.1"}}, want: []int{303}},
		{name: "a photo as plain form", method: "POST", path: shoptest.ChannelPhotos, kind: shoptest.FormType, body: "id=x&piece=1&step=1", want: []int{400}},
		{name: "a photo of thousand parts", method: "POST", path: shoptest.ChannelPhotos, kind: "multipart/form-data; boundary=x",
			body: strings.Repeat("--x\r\nContent-Disposition: form-data; name=\"a\"\r\n\r\n1\r\n", 2000) + "--x--", want: []int{400, 422}},
		{name: "a photo that is text", method: "POST", path: shoptest.ChannelPhotos, kind: "multipart/form-data; boundary=x",
			body: "--x\r\nContent-Disposition: form-data; name=\"id\"\r\n\r\np\r\n--x\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"a.jpg\"\r\nContent-Type: image/jpeg\r\n\r\n<script>alert(1)</script>\r\n--x--", want: []int{422}},
		{name: "a piece made again that is fine", method: "POST", path: "/t/" + shoptest.ChannelCode + "/pieces", kind: shoptest.FormType, body: "instead_of=1", want: []int{409}},
		{name: "a piece made again that is a tag", method: "POST", path: "/t/" + shoptest.ChannelCode + "/pieces", kind: shoptest.FormType, body: "instead_of=%3Cscript%3Ealert(1)%3C/script%3E", want: []int{422}},
		{name: "presence at piece minus one", method: "POST", path: shoptest.ChannelPresence, kind: shoptest.FormType, body: "piece=-1&step=1", want: []int{422}},
		{name: "presence of 100 kB", method: "POST", path: shoptest.ChannelPresence, kind: shoptest.FormType, body: "by=" + strings.Repeat("x", 100<<10), want: []int{413}},
		{name: "undo of nothing", method: "POST", path: shoptest.ChannelReadings, kind: "application/json", body: readingWith("flags", `["withdrawn"]`), want: []int{422}},
		{name: "reading by GET", method: "GET", path: shoptest.ChannelReadings, want: []int{405}},
		{name: "a sheet by DELETE", method: "DELETE", path: "/t/" + shoptest.ChannelCode, want: []int{405}},
		{name: "a sheet by PUT", method: "PUT", path: "/t/" + shoptest.ChannelCode + "/sheet.pdf", want: []int{405}},
		{name: "a made-up method", method: "FOLD", path: "/t/" + shoptest.ChannelCode, want: []int{405}},
		{name: "an owner's form from nobody", method: "POST", path: "/jobs/" + shoptest.ChannelCode + "/events", kind: shoptest.FormType, body: "kind=voided&detail=x", want: []int{403}},
		{name: "a part from nobody", method: "POST", path: "/parts", kind: shoptest.FormType, body: "job=J-1&quantity=1&part={}", want: []int{403}},
	}
}

func hostileHeaders() []hostile {
	post := func(name string, headers http.Header, want ...int) hostile {
		return hostile{name: name, method: "POST", path: shoptest.ChannelReadings, kind: "application/json", body: readingWith("id", `"headers"`), headers: headers, want: want}
	}
	return []hostile{
		post("from another site", http.Header{"Sec-Fetch-Site": {"cross-site"}}, 403),
		post("from a neighbour's origin", http.Header{"Origin": {"http://evil.example"}}, 403),
		post("from an origin of nothing", http.Header{"Origin": {"null"}}, 403),
		{name: "a form from another site", method: "POST", path: "/signin", kind: shoptest.FormType, body: "password=x", headers: http.Header{"Origin": {"http://evil.example"}}, want: []int{403}},
		{name: "a session that was made up", method: "GET", path: "/", headers: http.Header{"Cookie": {web.SessionCookie + "=abc"}}, want: []int{303}},
		{name: "a broken multipart form", method: "POST", path: shoptest.ChannelReadings, kind: "multipart/form-data; boundary=x", body: "--x\r\nnonsense", want: []int{400}},
		{name: "a multipart form without a boundary", method: "POST", path: shoptest.ChannelReadings, kind: "multipart/form-data", body: "x", want: []int{400}},
		{name: "a media type that is none", method: "POST", path: shoptest.ChannelReadings, kind: ";;;", body: "x", want: []int{400}},
		{name: "XML", method: "POST", path: shoptest.ChannelReadings, kind: "text/xml", body: "<reading/>", want: []int{400}},
	}
}

// Every hostile request gets its refusal; none is stored, none is echoed as
// markup, none makes the service fail, and afterwards it still works.
func TestHostileRequests(t *testing.T) {
	s := shoptest.OpenShop(t)
	var all []hostile
	for _, some := range [][]hostile{hostileReadings(), hostileForms(), hostilePaths(), hostileHeaders()} {
		all = append(all, some...)
	}
	if len(all) < 60 {
		t.Fatalf("only %d hostile requests, want at least 60", len(all))
	}
	for i, h := range all {
		t.Run(h.name, func(t *testing.T) {
			r := httptest.NewRequest(h.method, "http://192.0.2.7:8080/", strings.NewReader(h.body))
			target, err := url.Parse("http://192.0.2.7:8080" + h.path)
			if err != nil {
				t.Fatal(err)
			}
			r.URL, r.RequestURI = target, h.path
			r.RemoteAddr = fmt.Sprintf("192.0.2.%d:99", 20+i%200) // not the guesser of another case
			for name, values := range h.headers {
				r.Header[name] = values
			}
			if h.kind != "" {
				r.Header.Set("Content-Type", h.kind)
			}
			answer, body := s.Ask(r)
			if !oneOf(answer.StatusCode, h.want) {
				t.Errorf("%s %s = %d %.200s, want %v", h.method, h.path, answer.StatusCode, body, h.want)
			}
			if strings.Contains(body, "<script>alert") {
				t.Error("the script of the attacker stands in the page")
			}
			shoptest.CheckHeaders(t, answer)
		})
	}
	if readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode); err != nil || len(readings) != 0 {
		t.Errorf("stored %v, %v; want nothing", readings, err)
	}
	s.Record(shoptest.ChannelCode, `{"id":"good","piece":1,"step":1,"measured":45}`)
	if strings.Contains(s.Logged.String(), "panic") {
		t.Errorf("the log tells of a panic:\n%s", s.Logged)
	}
}

func oneOf(status int, want []int) bool {
	for _, w := range want {
		if status == w {
			return true
		}
	}
	return false
}

// Texts that would be markup or formulas come back as texts on every page.
func TestHostileTextsAreTexts(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	const nasty = `<script>alert(1)</script>`
	s.Record(shoptest.ChannelCode, `{"id":"n1","piece":1,"step":1,"measured":45,"by":"`+nasty+`","note":"=1+1 `+nasty+`","pack":"@SUM(A1)","tool":"-2","place":"left"}`)
	for _, path := range []string{"/", "/jobs/" + shoptest.ChannelCode, "/review", "/t/" + shoptest.ChannelCode, "/t/" + shoptest.ChannelCode + "?saved=n1", "/t/" + shoptest.ChannelCode + "/1?piece=1"} {
		answer, body := s.Get(path, session, &http.Cookie{Name: operator.InitialsCookie, Value: url.QueryEscape(nasty)})
		if answer.StatusCode != http.StatusOK || strings.Contains(body, nasty) {
			t.Errorf("GET %s = %d, with the script as markup: %v", path, answer.StatusCode, strings.Contains(body, nasty))
		}
		shoptest.CheckPage(t, body)
	}
}

// Any bytes at all as a body are refused or stored, on a sheet with its first
// piece done as on a fresh one, and are answered as checkAnswer wants it.
func FuzzReadings(f *testing.F) {
	s := fuzzShop(f)
	var multi bytes.Buffer
	w := multipart.NewWriter(&multi)
	w.WriteField("id", "x")
	w.Close()
	seeds := append(s.seedsOf(fuzzReadings), seed{kind: w.FormDataContentType(), body: multi.String()})
	for _, h := range append(hostileReadings(), hostileForms()...) {
		seeds = append(seeds, seed{kind: h.kind, body: h.body})
	}
	for i, d := range seeds {
		f.Add(d.kind, []byte(d.body), i%2 == 0)
	}
	f.Fuzz(func(t *testing.T, kind string, body []byte, fresh bool) {
		path := map[bool]string{true: "/t/" + spareCode + "/readings", false: shoptest.ChannelReadings}[fresh]
		s.tries(t, seed{"POST", path, kind, string(body)}, 0)
	})
}

// Every page in every state is whole, labelled and without script of its own.
func TestOfficeSamples(t *testing.T) {
	for _, fill := range shoptest.Shops {
		s, session, samples := fill(t)
		for _, v := range samples {
			t.Run(v.Name, func(t *testing.T) { sampleIsWhole(t, s, v, session) })
		}
		if log := s.Logged.String(); strings.Contains(log, "level=ERROR") {
			t.Errorf("the log holds errors:\n%s", log)
		}
	}
}

func sampleIsWhole(t *testing.T, s *shoptest.Shop, v shoptest.Sample, session *http.Cookie) {
	answer, body := s.AnswerTo(v, session)
	if answer.StatusCode != max(v.Status, http.StatusOK) {
		t.Fatalf("%s = %d: %s", v.Path, answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, body)))
	}
	shoptest.CheckPage(t, body)
	if strings.Contains(body, "<b>&amp;amp;") && strings.Contains(body, "<b>&") {
		t.Error("a name stands in the page as markup")
	}
}
