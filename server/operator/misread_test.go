package operator_test

import (
	"fmt"
	"testing"

	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/traveler/standing"
)

// A single reading, honest or not, moves the stop that is told by less than 2
// degrees, however far off it is: on a sheet nothing was read of and on one with
// good readings behind it.
func TestOneReadingMovesNoStopFar(t *testing.T) {
	for _, before := range []int{0, 6} {
		for _, off := range []float64{-15, -7.9, -5, -3, -2, 2, 3, 5, 7.9, 15} {
			s := shoptest.OpenShop(t)
			s.LetGo(shoptest.ChannelCode)
			s.Decide(shoptest.ChannelCode, standing.Requantified, "40")
			for piece := range before {
				s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"g%d","piece":%d,"step":2,"measured":90,"stop":92,"by":"AB"}`, piece, piece+1))
			}
			_, was := toldAt(s, "/2?piece=30")
			s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"odd","piece":20,"step":2,"measured":%.1f,"stop":92,"by":"AB","confirmed":true}`, 90+off))
			if _, now := toldAt(s, "/2?piece=30"); now-was >= unit.CentiDeg(200) || was-now >= unit.CentiDeg(200) {
				t.Errorf("after %d readings one that is off by %v takes the stop from %v to %v", before, off, was, now)
			}
		}
	}
}
