package web

import (
	"net/http"
	"net/url"
	"strings"
	"time"
)

// Said names the sentence by which the page after a button says what was done. Its
// name goes by way of a cookie, so that the address stays that of the page.
type Said string

// What buttons of the office say.
const (
	SaidOrder    Said = "order"
	SaidAbout    Said = "about"
	SaidIssued   Said = "issued"
	SaidAnswered Said = "answered"
	SaidPart     Said = "part"
	SaidReady    Said = "ready"
	SaidArchived Said = "archived"
	SaidRestored Said = "restored"
	SaidDropped  Said = "dropped"
	SaidBrake    Said = "brake"
	SaidFingers  Said = "fingers"
	SaidLot      Said = "lot"
	SaidTrial    Said = "trial"
	SaidSetup    Said = "setup"
	SaidDecided  Said = "decided"
	SaidCause    Said = "cause"
	SaidStudy    Said = "study"
	SaidMinutes  Said = "minutes"
	SaidJobs     Said = "jobs"
	SaidParts    Said = "parts"
)

// sentences are what each of them says. Those of the events of a traveler are called
// by their kinds.
var sentences = map[Said]string{
	SaidOrder:    "Saved: the turns at this brake.",
	SaidAbout:    "Saved: due date, customer and note of the job.",
	SaidIssued:   "Issued. Print it, and clip it to the job.",
	SaidAnswered: "Saved: the answer about that angle.",
	SaidPart:     "Saved: this version of the part.",
	SaidReady:    "Ready: travelers can be issued from this revision now, and it never changes.",
	SaidArchived: "Archived: the part is out of the list and kept.",
	SaidRestored: "Restored: the part is in the list again.",
	SaidDropped:  "Removed: the draft is out of the list.",
	SaidBrake:    "Saved: this version of the brake. Later plans use it.",
	SaidFingers:  "Saved: the fingers. Later plans use them.",
	SaidLot:      "Saved: the lot of sheet.",
	SaidTrial:    "Saved: what the trial strip tells.",
	SaidSetup:    "Saved: what the shop is called and how it is reached.",
	SaidDecided:  "Saved: the decision. Later travelers and open pages go by it.",
	SaidCause:    "Saved: the cause.",
	SaidStudy:    "Saved: the measurements.",
	SaidMinutes:  "Saved: the decision about the minutes. Later plans go by it.",
	SaidJobs:     "Issued: a sheet for every job of the list.",
	SaidParts:    "Saved: a draft for every part of the list.",

	"closed":         "The traveler is closed.",
	"reopened":       "The traveler is open again.",
	"voided":         "The traveler is void. Phones that open it say so and stop.",
	"finish-allowed": "The batch may be finished.",
	"override":       "The run is released.",
	"quantity":       "The quantity is changed. List, phone, label and inspection record go by it; printed pages still say the old one.",
	"sampling":       "How many pieces are measured is changed. Phones go by it.",
	"skipped":        "The piece is left out.",
	"taken-up":       "The piece is made after all.",
	"held":           "The run is on hold. Phones that open it say so.",
	"resumed":        "The run goes on.",
	"run-on":         "It may be made as it is.",
}

// sayFor is how long a page says it: as long as a slow network needs to open it. A page
// that is opened again within that time says it again.
const sayFor = 20 * time.Second

const saidCookie = "said"

// GoOn leads on to a page that says what was done.
func GoOn(w http.ResponseWriter, r *http.Request, address string, said Said) error {
	path, _, _ := strings.Cut(address, "?")
	http.SetCookie(w, &http.Cookie{
		Name: saidCookie, Value: url.QueryEscape(string(said) + " " + path), Path: "/", MaxAge: int(sayFor.Seconds()),
		HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
	})
	http.Redirect(w, r, address, http.StatusSeeOther)
	return nil
}

// SaidTo is what the page that is asked for says was done; nothing if nothing was.
func SaidTo(r *http.Request) Said {
	said, path, _ := strings.Cut(Remembered(r, saidCookie), " ")
	if r.Method != http.MethodGet || path != r.URL.Path || sentences[Said(said)] == "" {
		return ""
	}
	return Said(said)
}
