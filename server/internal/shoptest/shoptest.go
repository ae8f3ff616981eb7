// Package shoptest is an invented shop for the tests of the service: a whole
// server on a fresh folder, its sheets and parts, the people who ask it for
// pages, and a browser to look at them with.
package shoptest

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"brakeside/calc/unit"
	"brakeside/server"
	"brakeside/server/lessons"
	"brakeside/server/operator"
	"brakeside/server/password"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// The shop of these tests is made up, and so are its parts, figures and codes.
const (
	ChannelCode = "k7m4xq2pvr9tabcde" // the sheet of channel
	TrayCode    = "w3hn8cz5yfg6jdkqs" // the sheet of tray
	UnknownCode = "zzzzzzzzzzzzzzzzz"
	Password    = "abcd-efgh-jkmn-pqrs"
)

// leg is one straight run of a cross section: its length in millimetres and the
// angle by which the section turns up before it.
type leg struct{ length, turn float64 }

// chain gives the legs of a section as solids t thick. It begins at the hinge;
// side is -1 towards the operator and +1 to the back.
func chain(role string, side, t float64, legs ...leg) []traveler.Shape {
	x, y, angle := 0.0, 0.0, 0.0
	var shapes []traveler.Shape
	for _, l := range legs {
		angle += l.turn * math.Pi / 180
		dx, dy := side*math.Cos(angle), math.Sin(angle)
		nx, ny := -side*math.Sin(angle)*t, math.Cos(angle)*t
		ex, ey := x+dx*l.length, y+dy*l.length
		shapes = append(shapes, solid(role, x, y, ex, ey, ex+nx, ey+ny, x+nx, y+ny))
		x, y = ex, ey
	}
	return shapes
}

func solid(role string, coordinates ...float64) traveler.Shape {
	s := traveler.Shape{Role: role}
	for i := 0; i < len(coordinates); i += 2 {
		s.Points = append(s.Points, traveler.Point{X: unit.MM(coordinates[i]).Micron(), Y: unit.MM(coordinates[i+1]).Micron()})
	}
	return s
}

// endView draws a step: the brake with its leaf turned up by some degrees, a
// bar of some depth and the two sides of the part.
func endView(leafUp, depth, t float64, clamped, swinging []leg) []traveler.Shape {
	sin, cos := math.Sincos(leafUp * math.Pi / 180)
	turned := func(x, y float64) (float64, float64) { return x*cos + y*sin, -x*sin + y*cos }
	ax, ay := turned(-62, 0)
	bx, by := turned(-62, -40)
	cx, cy := turned(0, -40)
	height := depth * 0.37
	shapes := []traveler.Shape{
		solid(traveler.RoleBed, 0, 0, 98, 0, 98, -150, 0, -150),
		solid(traveler.RoleLeaf, 0, 0, ax, ay, bx, by, cx, cy),
		solid(traveler.RoleBar, 1.8, t, 1.8, t+0.6, height, t+height, depth, t+height, depth, t),
	}
	shapes = append(shapes, chain(traveler.RoleClamped, 1, t, clamped...)...)
	return append(shapes, chain(traveler.RoleSwinging, -1, t, swinging...)...)
}

// bent turns the first leg of a swinging side up by the bend.
func bent(angle float64, swinging []leg) []leg {
	up := append([]leg{}, swinging...)
	up[0].turn += angle
	return up
}

// stepPlan is what differs between the steps of the sheets below.
type stepPlan struct {
	target, depth, length float64
	bar                   string
	clamped, swinging     []leg
}

func makeStep(number int, t float64, plan stepPlan) traveler.Step {
	target := unit.Deg(plan.target).CentiDeg()
	return traveler.Step{
		Number: number, Bend: fmt.Sprintf("b%d", number), FaceUp: "A", Clamped: "web", Swinging: "leg",
		Bar: plan.bar, BarGrams: 15200, Leaf: traveler.FullLeaf, Place: traveler.Middle,
		Length: unit.MM(plan.length).Micron(), NoseSetback: unit.MM(t + 0.3).Micron(),
		Stop: target + 200, StopBend: target + 200, Springback: 200, StopFrom: "common practice",
		Target: target, Tolerance: 100,
		GaugeEdge: "the sheared edge", Gauge: unit.MM(31.4).Micron(), CheckSize: "outside leg", Check: unit.MM(34).Micron(),
		Clearance: unit.MM(6.2).Micron(), Between: [2]string{"leg", "bar " + plan.bar},
		Before: endView(0, plan.depth, t, plan.clamped, plan.swinging),
		After:  endView(plan.target, plan.depth, t, plan.clamped, bent(plan.target, plan.swinging)),
	}
}

// Channel is a rail foot with a lip: a bend of 45 and two of 90, three pieces.
func Channel() *traveler.Traveler {
	const t = 1.5
	steps := []traveler.Step{
		makeStep(1, t, stepPlan{45, 74, 640, "wide", []leg{{132, 0}}, []leg{{15, 0}}}),
		makeStep(2, t, stepPlan{90, 74, 640, "wide", []leg{{115, 0}}, []leg{{52, 0}, {15, 45}}}),
		makeStep(3, t, stepPlan{90, 23, 640, "narrow", []leg{{80, 0}, {52, 90}, {15, 45}}, []leg{{34, 0}}}),
	}
	steps[2].Rotate = 180
	const standing = "The lipped leg stands 13 mm behind the bar: keep fingers out from behind it."
	steps[2].Cautions = []traveler.Caution{{Level: traveler.Care, Text: standing}}
	return &traveler.Traveler{
		Form: traveler.Form, Code: ChannelCode, Address: "http://192.0.2.7:8080/t/" + ChannelCode, Shop: "Talweg Sheet Works",
		Job: "J-1041", Quantity: 3, Run: traveler.ByStep, IssuedAt: "2026-05-04T08:00:00Z", IssuedBy: "owner", Paper: "a4",
		Part: traveler.Part{
			Number: "BR-210", Title: "Rail foot, lipped", Revision: "C", MaterialID: "mild-steel", Material: "mild steel", Family: "mild-steel",
			Magnetic: true, Thickness: unit.MM(t).Micron(), InsideRadius: unit.MM(t).Micron(), AngleTolerance: 100,
			SizeTolerance: unit.MM(0.5).Micron(), Sizes: "outside", MarkedFace: "A",
		},
		Brake: testBrake(), Steps: steps, Proven: true, Minutes: 410,
		Blank: traveler.Blank{Width: unit.MM(640).Micron(), Height: unit.MM(171.2).Micron()},
	}
}

// Tray is a drip tray in stainless, bent with fingers between its walls, on one
// piece.
func Tray() *traveler.Traveler {
	const t = 1.0
	tray := Channel()
	tray.Code, tray.Address, tray.Job, tray.Quantity = TrayCode, "http://192.0.2.7:8080/t/"+TrayCode, "J-1042", 1
	tray.Part.Number, tray.Part.Title, tray.Part.Revision = "DT-05", "Instrument drip tray", "A"
	tray.Part.MaterialID, tray.Part.Material, tray.Part.Family, tray.Part.Magnetic = "304", "stainless 304", "stainless", false
	tray.Part.Thickness = unit.MM(t).Micron()
	tray.Steps = []traveler.Step{
		makeStep(1, t, stepPlan{90, 74, 240, "wide", []leg{{180, 0}}, []leg{{40, 0}}}),
		makeStep(2, t, stepPlan{90, 74, 240, "wide", []leg{{180, 0}, {40, 90}}, []leg{{40, 0}}}),
		makeStep(3, t, stepPlan{90, 66, 318, "fingers", []leg{{240, 0}}, []leg{{40, 0}}}),
	}
	tray.Steps[2].Segments = []traveler.Segment{{Width: 124000, At: 2200}, {Width: 68000, At: 126600}, {Width: 124000, At: 195000}}
	tray.Steps[2].Rotate = 90
	return tray
}

func testBrake() traveler.Brake {
	return traveler.Brake{
		Name: "leaf brake 1.2 m", Reads: "bend", MaxAngle: 13000, Magnet: true,
		FullFace: unit.MM(62).Micron(), SlimFace: unit.MM(18).Micron(), LeafDepth: unit.MM(40).Micron(),
	}
}

// Shop is a whole service on a fresh folder, with a clock that stands still
// until it is moved.
type Shop struct {
	testing.TB
	Dir    string // that the store is kept in
	Store  *store.Store
	Server *server.Server
	Pages  http.Handler
	Logged *Log
	Bench  *Bench // of openOffice

	Options server.Options // of the server

	lock sync.Mutex
	Time time.Time
}

// Now is the time of the shop.
func (s *Shop) Now() time.Time {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.Time
}

// Later lets time go by.
func (s *Shop) Later(d time.Duration) {
	s.lock.Lock()
	defer s.lock.Unlock()
	s.Time = s.Time.Add(d)
}

// Log is a log that several requests may write to.
type Log struct {
	lock   sync.Mutex
	buffer bytes.Buffer
}

// Write implements io.Writer.
func (l *Log) Write(p []byte) (int, error) {
	l.lock.Lock()
	defer l.lock.Unlock()
	return l.buffer.Write(p)
}

// String gives what was logged.
func (l *Log) String() string {
	l.lock.Lock()
	defer l.lock.Unlock()
	return l.buffer.String()
}

// OpenShop starts a shop with the sheets of channel and tray, and no owner.
func OpenShop(t testing.TB) *Shop {
	t.Helper()
	s := openBare(t)
	s.Issue(Channel())
	s.Issue(Tray())
	return s
}

// openBare starts a shop in which nothing has been issued, without an owner.
func openBare(t testing.TB) *Shop {
	t.Helper()
	s := &Shop{TB: t, Dir: t.TempDir(), Time: time.Date(2026, 5, 4, 9, 30, 0, 0, time.UTC), Logged: new(Log)}
	var err error
	if s.Store, err = store.Open(s.Dir, s.Now); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Store.Close(); err != nil {
			t.Error(err)
		}
	})
	s.Options = server.Options{
		Store: s.Store, Base: "http://192.0.2.7:8080", Now: s.Now, Random: rand.NewChaCha8([32]byte{1}),
		Log: slog.New(slog.NewTextHandler(s.Logged, nil)), Names: []string{"example.com"}, // as httptest has it
	}
	s.Restart(func(*server.Options) {})
	if err := s.Store.KeepSetting(context.Background(), store.SettingSetUp, "yes"); err != nil {
		t.Fatal(err)
	}
	return s
}

// Restart serves the shop anew, with other options.
func (s *Shop) Restart(change func(*server.Options)) {
	s.Helper()
	change(&s.Options)
	var err error
	if s.Server, err = server.New(s.Options); err != nil {
		s.Fatal(err)
	}
	s.Pages = s.Server.Handler()
}

// Issue keeps a sheet, with a job if it needs one.
func (s *Shop) Issue(t *traveler.Traveler, replaces ...string) {
	s.Helper()
	if err := Issue(context.Background(), s.Store, t, replaces...); err != nil {
		s.Fatal(err)
	}
}

// Issue keeps a sheet in a store, with a job if it needs one.
func Issue(ctx context.Context, to *store.Store, t *traveler.Traveler, replaces ...string) error {
	if _, err := to.Job(ctx, t.Job); err != nil {
		job := store.Job{Number: t.Job, Part: t.Part.Number, Revision: t.Part.Revision, Quantity: t.Quantity, Brake: t.Brake.Name}
		if err := to.AddJob(ctx, job); err != nil {
			return err
		}
	}
	snapshot, err := traveler.Encode(t)
	if err != nil {
		return err
	}
	return to.KeepTraveler(ctx, store.Issued{Traveler: t, Snapshot: snapshot, PDF: []byte("%PDF-1.7 sheet " + t.Code), Supersedes: replaces})
}

// Decide records a decision of the owner.
func (s *Shop) Decide(code, kind, detail string) {
	s.Helper()
	if err := s.Store.AddEvent(context.Background(), store.Event{Code: code, Kind: kind, Detail: detail, By: "owner"}); err != nil {
		s.Fatal(err)
	}
}

// Ask sends a request and gives the answer with its body read.
func (s *Shop) Ask(r *http.Request) (*http.Response, string) {
	s.Helper()
	w := httptest.NewRecorder()
	s.Pages.ServeHTTP(w, r)
	answer := w.Result()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		s.Fatal(err)
	}
	return answer, string(body)
}

// Get asks for a page, as a phone whose protractor is known, unless a cookie says
// otherwise.
func (s *Shop) Get(path string, cookies ...*http.Cookie) (*http.Response, string) {
	s.Helper()
	r := httptest.NewRequest("GET", path, nil)
	for _, c := range append(cookies, shows(progress.GivenBend)) {
		r.AddCookie(c)
	}
	return s.Ask(r)
}

// shows is the cookie of a phone whose protractor shows one of the two angles.
func shows(angle string) *http.Cookie {
	return &http.Cookie{Name: operator.ProtractorCookie, Value: angle}
}

// PostForm sends a form.
func (s *Shop) PostForm(path string, form url.Values, cookies ...*http.Cookie) (*http.Response, string) {
	s.Helper()
	r := httptest.NewRequest("POST", path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for _, c := range cookies {
		r.AddCookie(c)
	}
	return s.Ask(r)
}

// PostJSON sends JSON, as a program does.
func (s *Shop) PostJSON(path, body string) (*http.Response, string) {
	s.Helper()
	r := httptest.NewRequest("POST", path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	return s.Ask(r)
}

// Record logs a reading that is expected to be stored.
func (s *Shop) Record(code, reading string) {
	s.Helper()
	if answer, body := s.PostJSON("/t/"+code+"/readings", reading); answer.StatusCode != http.StatusCreated {
		s.Fatalf("POST %s = %d %s, want 201", reading, answer.StatusCode, body)
	}
}

// RecordFirstPiece logs the first piece of channel, all bends good.
func (s *Shop) RecordFirstPiece() {
	s.Helper()
	s.Record(ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":45.2,"place":"middle","by":"AB"}`)
	s.Record(ChannelCode, `{"id":"f2","piece":1,"step":2,"measured":89.4,"place":"middle","by":"AB"}`)
	s.Record(ChannelCode, `{"id":"f3","piece":1,"step":3,"measured":90.3,"place":"middle","by":"AB"}`)
}

// Owner sets the password, signs in and gives the session.
func (s *Shop) Owner() *http.Cookie {
	s.Helper()
	s.SetPassword()
	answer, body := s.PostForm("/signin", url.Values{"password": {Password}})
	if answer.StatusCode != http.StatusSeeOther || len(answer.Cookies()) == 0 {
		s.Fatalf("sign in = %d with %d cookies: %s", answer.StatusCode, len(answer.Cookies()), body)
	}
	return answer.Cookies()[0]
}

// Cheapest is what a password costs that takes next to nothing to try.
var Cheapest = password.Cost{Memory: 8, Rounds: 1, Threads: 1}

// SetPassword gives the owner's account the password of the tests.
func (s *Shop) SetPassword() {
	s.Helper()
	hash, err := Cheapest.Hash(Password, rand.NewChaCha8([32]byte{2}))
	if err != nil {
		s.Fatal(err)
	}
	if err := s.Store.SetOwner(context.Background(), store.Owner{Name: "owner", PasswordHash: hash}); err != nil {
		s.Fatal(err)
	}
}

// Decode reads JSON into any shape.
func Decode(t testing.TB, text string) map[string]any {
	t.Helper()
	var value map[string]any
	if err := json.Unmarshal([]byte(text), &value); err != nil {
		t.Fatalf("%v in %q", err, text)
	}
	return value
}

// Book is what the log of the shop teaches, read anew.
func (s *Shop) Book() *lessons.Book {
	return lessons.Open(s.Store)
}
