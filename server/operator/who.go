package operator

import (
	"net/http"
	"strconv"
	"time"

	"brakeside/server/store"
	"brakeside/server/web"
)

// usualPause is how long a phone may lie without a reading before its initials are
// asked again, where the owner has not said otherwise.
const usualPause = 30 * time.Minute

// whoView is who is taken to be at the brake.
type whoView struct {
	By    string // empty: it is asked
	Last  string // who it was last, to be offered
	Pause int    // minutes after which it is asked again; 0: never
}

// who gives whose initials stand on a page. After a pause they are asked again: the
// phone may have changed hands.
func (s *Section) who(r *http.Request) whoView {
	pause := s.pause(r)
	view := whoView{Last: web.Remembered(r, InitialsCookie), Pause: int(pause.Minutes())}
	if pause == 0 || web.Remembered(r, ThereCookie) != "" {
		view.By = view.Last
	}
	return view
}

func (s *Section) pause(r *http.Request) time.Duration {
	minutes, err := strconv.Atoi(s.Setting(r.Context(), store.SettingInitials))
	if err != nil || minutes < 0 {
		return usualPause
	}
	return time.Duration(minutes) * time.Minute
}
