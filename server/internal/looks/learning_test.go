package looks_test

import (
	"fmt"
	"net/url"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"brakeside/traveler/standing"
)

// The questions that the model asks at the brake, on a small phone, and what it says
// in the office, at both sizes: nothing runs out of the page.
func TestLooksOfWhatIsLearned(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("l", "LP-1", "A"), session)
	if err := s.Store.KeepPack(t.Context(), store.Pack{Name: "P7", Material: "mild-steel", Thickness: 1500}); err != nil {
		t.Fatal(err)
	}
	fresh := s.Send("/jobs", url.Values{"part": {part}, "brake": {s.NewestBrake()}, "job": {"J-77"}, "quantity": {"5"}, "by": {"owner"}, "pack": {"P7"}}, session)
	s.FlatOn(part, 3, session)
	s.LetGo(shoptest.ChannelCode)
	s.Decide(shoptest.ChannelCode, standing.Requantified, "90")
	log := func(piece, step int, measured float64, by string) {
		s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"x%s%d-%d","piece":%d,"step":%d,"measured":%.1f,"stop":92,"by":%q,"pack":"P1","confirmed":true}`, by, piece, step, piece, step, measured, by))
	}
	for piece := 1; piece <= 60; piece++ { // the scale slips by 1.5
		log(piece, 3, 89.5+0.5*float64(piece%3)-1.5*float64(piece/41), "AB")
	}
	for piece := 1; piece <= 14; piece++ { // and somebody logs openings
		log(piece, 2, 93.5+0.5*float64(piece%2), "CD")
	}
	phone := s.Use(t, shoptest.Screen{Width: 360, Height: 640, Touch: true})
	within := func(d *shoptest.Device, name string) {
		t.Helper()
		if over := d.Eval("document.documentElement.scrollWidth - document.documentElement.clientWidth"); over != "0" {
			t.Errorf("%s is %s pixels wider than the screen", name, over)
		}
		d.Picture(name)
	}
	phone.Open("/t/" + fresh)
	phone.Says("Lot P7 is new")
	within(phone, "phone/offcut")
	phone.Eval(`document.cookie = "brakeside-tool=bevel; path=/t/"`)
	phone.Eval(`document.cookie = "brakeside-initials=EF; path=/t/"`)
	phone.Open("/t/" + shoptest.ChannelCode + "/2?piece=20")
	phone.Says("What does bevel show on a known corner?")
	within(phone, "phone/corner")
	phone.Eval(`document.cookie = "brakeside-initials=CD; path=/t/"`)
	phone.Open("/t/" + shoptest.ChannelCode + "/2?piece=20")
	phone.Says("Which angle do you read?")
	within(phone, "phone/opening")
	for size, screen := range map[string]shoptest.Screen{"desk": {Width: 1280, Height: 800}, "phone": {Width: 360, Height: 640, Touch: true}} {
		d := s.Use(t, screen)
		d.SignInWith(session.Value)
		for name, page := range map[string]string{
			"review": "/review", "stops": "/review/stops", "replay": "/review/replay", "new-job": "/jobs/new",
			"cell": "/review/cell?material=mild-steel&thickness=1.50+mm&bar=wide&brake=leaf+brake+1.2+m",
		} {
			d.Open(page)
			within(d, size+"/"+name)
		}
	}
}
