package server

import (
	"net/http"
	"slices"

	"github.com/gorilla/mux"

	"brakeside/calc/fault"
	"brakeside/templates"
)

// access is who may use an address. The zero value is the strictest.
type access int

const (
	byOwner  access = iota // the owner, signed in
	byViewer               // the owner, or the account that may only view
	byHolder               // who holds the sheet: the code in the address is the key
	byAnyone
	byMachine // the machine itself, or who is signed in
)

// answer answers one request, or says why not. Refusals get their status and
// their page in refuse.go.
type answer func(w http.ResponseWriter, r *http.Request) error

type route struct {
	method, path string
	who          access
	answer       answer
}

// routes is every address of the service.
func (s *Server) routes() []route {
	return slices.Concat(s.openRoutes(), s.jobRoutes(), s.reviewRoutes(), s.partRoutes(), s.brakeRoutes(), s.shopRoutes())
}

// openRoutes are every address that needs no password: what holders of a sheet and the sign-in use.
func (s *Server) openRoutes() []route {
	return []route{
		{"GET", "/healthz", byAnyone, s.health},
		{"GET", "/metrics", byMachine, s.metricsPage(s.phones)},
		{"GET", "/static/{file}", byAnyone, s.static},

		{"GET", "/t/{code}", byHolder, s.sheetPage},
		{"GET", "/t/{code}/state", byHolder, s.sheetState},
		{"GET", "/t/{code}/sheet.pdf", byHolder, s.sheetPDF},
		{"GET", "/t/{code}/{step:[0-9]{1,5}}", byHolder, s.bendPage},
		{"POST", "/t/{code}/readings", byHolder, s.addReading},
		{"POST", "/t/{code}/photos", byHolder, s.addPhoto},
		{"POST", "/t/{code}/pieces", byHolder, s.remakePiece},
		{"POST", "/t/{code}/presence", byHolder, s.present},

		{"GET", "/signin", byAnyone, s.signInPage},
		{"POST", "/signin", byAnyone, s.signIn},
		{"POST", "/signout", byViewer, s.signOut},
		{"GET", "/hello/{code}", byAnyone, s.hello},
	}
}

// jobRoutes are the jobs.
func (s *Server) jobRoutes() []route {
	return []route{
		{"GET", "/", byViewer, s.jobsPage},
		{"GET", "/news", byViewer, s.stream},
		{"GET", "/jobs/new", byOwner, s.newJobPage},
		{"POST", "/jobs", byOwner, s.addJob},
		{"GET", "/jobs/{code}", byViewer, s.jobPage},
		{"POST", "/jobs/{code}/events", byOwner, s.addEvent},
		{"GET", "/jobs/{code}/grid", byOwner, s.gridPage},
		{"POST", "/jobs/{code}/grid", byOwner, s.addGrid},
		{"GET", "/jobs/{code}/label.pdf", byViewer, s.boxLabel},
		{"GET", "/jobs/{code}/record.pdf", byViewer, s.recordPDF},
		{"GET", "/jobs/{code}/record.csv", byViewer, s.recordCSV},
		{"GET", "/jobs/{code}/photos", byViewer, s.photosPage},
		{"GET", "/jobs/{code}/photos/{photo:[0-9]{1,15}}", byViewer, s.photo},
	}
}

// reviewRoutes are the review and what the log teaches.
func (s *Server) reviewRoutes() []route {
	return []route{
		{"GET", "/review", byViewer, s.reviewPage},
		{"GET", "/review.csv", byViewer, s.reviewCSV},
		{"GET", "/review/cell", byViewer, s.cellPage},
		{"GET", "/review/stops", byViewer, s.stopsPage},
		{"POST", "/review/stops", byOwner, s.decideStop},
		{"POST", "/review/k", byOwner, s.decideK},
		{"GET", "/review/replay", byViewer, s.replayPage},
		{"GET", "/review/first-pieces", byViewer, s.firstPiecesPage},
		{"POST", "/review/first-pieces/{code}", byOwner, s.sayCause},
		{"GET", "/review/unlogged", byViewer, s.unloggedPage},
		{"GET", "/review/measuring", byViewer, s.measuringPage},
		{"POST", "/review/measuring", byOwner, s.addStudy},
		{"GET", "/review/time", byViewer, s.timePage},
		{"POST", "/review/time", byOwner, s.decideMinutes},
		{"GET", "/review/weekly.pdf", byViewer, s.weeklyPDF},
	}
}

// partRoutes are the parts and their plans.
func (s *Server) partRoutes() []route {
	return []route{
		{"GET", "/parts", byViewer, s.partsPage},
		{"POST", "/parts", byOwner, s.keepPart},
		{"GET", "/parts/new", byOwner, s.newPartPage},
		{"POST", "/parts/drawing", byOwner, s.drawPart},
		{"GET", "/parts/{seq:[0-9]+}", byViewer, s.partPage},
		{"POST", "/parts/{seq:[0-9]+}/marks", byOwner, s.markPart},
		{"GET", "/parts/{seq:[0-9]+}/changes", byViewer, s.partChanges},
		{"GET", "/parts/{seq:[0-9]+}/part.json", byViewer, s.partFileOf},
		{"GET", "/parts/{seq:[0-9]+}/blank.{kind:svg|dxf|pdf}", byViewer, s.blankFile},
		{"GET", "/parts/{seq:[0-9]+}/plans", byViewer, s.plansPage},
		{"GET", "/parts/{seq:[0-9]+}/bends", byViewer, s.bendsPage},
		{"GET", "/parts/{seq:[0-9]+}/frame.svg", byViewer, s.framePicture},
	}
}

// brakeRoutes are the brakes and the stock.
func (s *Server) brakeRoutes() []route {
	return []route{
		{"GET", "/brakes", byViewer, s.brakesPage},
		{"POST", "/brakes", byOwner, s.keepBrake},
		{"GET", "/brakes/new", byOwner, s.newBrakePage},
		{"GET", "/brakes/{seq:[0-9]+}", byViewer, s.brakePage},
		{"POST", "/brakes/{seq:[0-9]+}/fingers", byOwner, s.setFingers},
		{"GET", "/brakes/{seq:[0-9]+}/changes", byViewer, s.brakeChanges},
		{"GET", "/brakes/{seq:[0-9]+}/brake.json", byViewer, s.brakeFileOf},

		{"GET", "/stock", byViewer, s.stockPage},
		{"POST", "/stock/packs", byOwner, s.keepPack},
		{"GET", "/stock/trial", byOwner, s.trialPage},
		{"POST", "/stock/trial", byOwner, s.learnTrial},
	}
}

// shopRoutes are the shop and its people.
func (s *Server) shopRoutes() []route {
	return []route{
		{"GET", "/setup", byOwner, s.setupPage},
		{"POST", "/setup", byOwner, s.keepSetup},
		{"GET", "/shop", byViewer, s.shopPage},
		{"POST", "/shop/password", byOwner, s.setPassword},
		{"POST", "/shop/viewer", byOwner, s.setViewer},
		{"POST", "/shop/sessions", byOwner, s.signOutAll},
		{"GET", "/running", byViewer, s.runningPage},
	}
}

// Handler gives the whole service.
func (s *Server) Handler() http.Handler { return s.handlerOf(s.routes()) }

// handlerOf serves some routes.
func (s *Server) handlerOf(routes []route) http.Handler {
	router := mux.NewRouter()
	for _, r := range routes {
		methods := []string{r.method}
		if r.method == http.MethodGet {
			methods = append(methods, http.MethodHead)
		}
		router.Handle(r.path, s.serve(r)).Methods(methods...)
	}
	router.NotFoundHandler = s.serve(route{path: "(none)", who: byAnyone, answer: noPage})
	router.MethodNotAllowedHandler = s.serve(route{path: "(method)", who: byAnyone, answer: wrongMethod})
	return s.guard(router)
}

func noPage(http.ResponseWriter, *http.Request) error {
	return fault.New(fault.Missing, "", "There is no such page here.")
}

func wrongMethod(http.ResponseWriter, *http.Request) error {
	return &refusedWith{http.StatusMethodNotAllowed, fault.New(fault.Invalid, "", "This address does not take that kind of request.")}
}

// variable gives the part of the address that a route names in braces.
func variable(r *http.Request, name string) string { return mux.Vars(r)[name] }

// static serves the files of the pages. Their addresses change with their
// content, so a browser may keep them.
func (s *Server) static(w http.ResponseWriter, r *http.Request) error {
	name := variable(r, "file")
	if _, err := templates.Asset(name); err != nil {
		return noPage(w, r)
	}
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	http.StripPrefix("/static", http.FileServer(templates.Static())).ServeHTTP(w, r)
	return nil
}

// health answers once the store does.
func (s *Server) health(w http.ResponseWriter, r *http.Request) error {
	if err := s.store.Ping(r.Context()); err != nil {
		return err
	}
	return write(w, reply{kind: "text/plain; charset=utf-8", body: []byte("ok\n")})
}
