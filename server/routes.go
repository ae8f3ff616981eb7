package server

import (
	"slices"

	"brakeside/server/web"
)

// route is one line of the lists below: method, address, who may use it, and
// what answers.
type route web.Route

// Routes is every address of the service.
func (s *Server) Routes() []web.Route {
	var all []web.Route
	for _, r := range slices.Concat(s.openRoutes(), s.jobRoutes(), s.reviewRoutes(), s.partRoutes(), s.brakeRoutes(), s.shopRoutes()) {
		all = append(all, web.Route(r))
	}
	return all
}

// openRoutes are every address that needs no password: what holders of a sheet and the sign-in use.
func (s *Server) openRoutes() []route {
	return []route{
		{"GET", "/healthz", web.ByAnyone, s.site.Health},
		{"GET", "/metrics", web.ByMachine, s.site.MetricsPage(s.operator.Phones)},
		{"GET", "/static/{file}", web.ByAnyone, s.site.Static},

		{"GET", "/t/{code}", web.ByHolder, s.operator.SheetPage},
		{"GET", "/t/{code}/state", web.ByHolder, s.operator.SheetState},
		{"GET", "/t/{code}/sheet.pdf", web.ByHolder, s.operator.SheetPDF},
		{"GET", "/t/{code}/{step:[0-9]{1,5}}", web.ByHolder, s.operator.BendPage},
		{"GET", "/t/{code}/board", web.ByHolder, s.operator.BoardPage},
		{"GET", "/t/{code}/bundle", web.ByHolder, s.operator.BundlePage},
		{"GET", "/t/{code}/fold", web.ByHolder, s.operator.FoldPage},
		{"GET", "/t/{code}/finished.svg", web.ByHolder, s.operator.Finished},
		{"GET", "/t/{code}/table", web.ByHolder, s.operator.Table},
		{"POST", "/t/{code}/readings", web.ByHolder, s.operator.AddReading},
		{"POST", "/t/{code}/convention", web.ByHolder, s.operator.KeepConvention},
		{"POST", "/t/{code}/photos", web.ByHolder, s.operator.AddPhoto},
		{"POST", "/t/{code}/pieces", web.ByHolder, s.operator.RemakePiece},
		{"GET", "/t/{code}/questions", web.ByHolder, s.operator.QuestionsPage},
		{"POST", "/t/{code}/questions", web.ByHolder, s.operator.AnswerQuestion},
		{"POST", "/t/{code}/events", web.ByHolder, s.operator.AddEvent},
		{"POST", "/t/{code}/protractor", web.ByHolder, s.operator.AnswerOpening},
		{"POST", "/t/{code}/offcut", web.ByHolder, s.operator.AddOffcut},
		{"POST", "/t/{code}/presence", web.ByHolder, s.operator.Present},

		{"GET", "/signin", web.ByAnyone, s.office.SignInPage},
		{"POST", "/signin", web.ByAnyone, s.office.SignIn},
		{"POST", "/signout", web.ByViewer, s.office.SignOut},
		{"GET", "/hello/{code}", web.ByAnyone, s.office.Hello},
	}
}

// jobRoutes are the jobs.
func (s *Server) jobRoutes() []route {
	return []route{
		{"GET", "/", web.ByViewer, s.office.JobsPage},
		{"GET", "/news", web.ByViewer, s.site.Stream},
		{"GET", "/jobs/new", web.ByOwner, s.office.NewJobPage},
		{"POST", "/jobs", web.ByOwner, s.office.AddJob},
		{"POST", "/jobs/order", web.ByOwner, s.office.OrderJobs},
		{"GET", "/jobs.csv", web.ByViewer, s.office.JobsCSV},
		{"GET", "/jobs/import", web.ByOwner, s.office.JobsImportPage},
		{"POST", "/jobs/import", web.ByOwner, s.office.ImportJobs},
		{"GET", "/jobs/{code}", web.ByViewer, s.office.JobPage},
		{"POST", "/jobs/{code}/events", web.ByOwner, s.office.AddEvent},
		{"POST", "/jobs/{code}/about", web.ByOwner, s.office.KeepAbout},
		{"POST", "/jobs/{code}/questions", web.ByOwner, s.office.AnswerQuestion},
		{"GET", "/jobs/{code}/grid", web.ByOwner, s.office.GridPage},
		{"POST", "/jobs/{code}/grid", web.ByOwner, s.office.AddGrid},
		{"GET", "/jobs/{code}/label.pdf", web.ByOwner, s.office.BoxLabel},
		{"GET", "/jobs/{code}/record.pdf", web.ByViewer, s.office.RecordPDF},
		{"GET", "/jobs/{code}/record.csv", web.ByViewer, s.office.RecordCSV},
		{"GET", "/jobs/{code}/blank.{kind:svg|dxf|pdf}", web.ByViewer, s.office.BlankFile},
		{"GET", "/jobs/{code}/thumb.svg", web.ByViewer, s.office.Thumb},
		{"GET", "/jobs/{code}/finished.svg", web.ByViewer, s.office.Finished},
		{"GET", "/jobs/{code}/fold", web.ByViewer, s.office.FoldPage},
		{"GET", "/jobs/{code}/photos", web.ByViewer, s.office.PhotosPage},
		{"GET", "/jobs/{code}/photos/{photo:[0-9]{1,15}}", web.ByViewer, s.office.Photo},
	}
}

// reviewRoutes are the review and what the log teaches.
func (s *Server) reviewRoutes() []route {
	return []route{
		{"GET", "/review", web.ByViewer, s.review.ReviewPage},
		{"GET", "/review.csv", web.ByViewer, s.review.ReviewCSV},
		{"GET", "/review/cell", web.ByViewer, s.review.CellPage},
		{"GET", "/review/stops", web.ByViewer, s.review.StopsPage},
		{"POST", "/review/stops", web.ByOwner, s.review.DecideStop},
		{"POST", "/review/scale", web.ByOwner, s.review.AnswerScale},
		{"POST", "/review/k", web.ByOwner, s.review.DecideK},
		{"GET", "/review/replay", web.ByViewer, s.review.ReplayPage},
		{"GET", "/review/first-pieces", web.ByViewer, s.review.FirstPiecesPage},
		{"POST", "/review/first-pieces/{code}", web.ByOwner, s.review.SayCause},
		{"GET", "/review/unlogged", web.ByViewer, s.review.UnloggedPage},
		{"GET", "/review/measuring", web.ByViewer, s.review.MeasuringPage},
		{"POST", "/review/measuring", web.ByOwner, s.review.AddStudy},
		{"GET", "/review/time", web.ByViewer, s.review.TimePage},
		{"POST", "/review/time", web.ByOwner, s.review.DecideMinutes},
		{"GET", "/review/weekly.pdf", web.ByViewer, s.review.WeeklyPDF},
	}
}

// partRoutes are the parts and their plans.
func (s *Server) partRoutes() []route {
	return []route{
		{"GET", "/parts", web.ByViewer, s.parts.PartsPage},
		{"POST", "/parts", web.ByOwner, s.parts.KeepPart},
		{"GET", "/parts.csv", web.ByViewer, s.parts.PartsCSV},
		{"GET", "/parts/import", web.ByOwner, s.parts.PartsImportPage},
		{"POST", "/parts/import", web.ByOwner, s.parts.ImportParts},
		{"GET", "/parts/new", web.ByOwner, s.parts.NewPartPage},
		{"POST", "/parts/drawing", web.ByOwner, s.parts.DrawPart},
		{"GET", "/parts/{seq:[0-9]+}", web.ByViewer, s.parts.PartPage},
		{"POST", "/parts/{seq:[0-9]+}/marks", web.ByOwner, s.parts.MarkPart},
		{"GET", "/parts/{seq:[0-9]+}/changes", web.ByViewer, s.parts.PartChanges},
		{"GET", "/parts/{seq:[0-9]+}/part.json", web.ByViewer, s.parts.PartFileOf},
		{"GET", "/parts/{seq:[0-9]+}/blank.{kind:svg|dxf|pdf}", web.ByViewer, s.parts.BlankFile},
		{"GET", "/parts/{seq:[0-9]+}/thumb.svg", web.ByViewer, s.parts.Thumb},
		{"GET", "/parts/{seq:[0-9]+}/plans", web.ByViewer, s.parts.PlansPage},
		{"GET", "/parts/{seq:[0-9]+}/bends", web.ByViewer, s.parts.BendsPage},
		{"GET", "/parts/{seq:[0-9]+}/frame.svg", web.ByViewer, s.parts.FramePicture},
	}
}

// brakeRoutes are the brakes and the stock.
func (s *Server) brakeRoutes() []route {
	return []route{
		{"GET", "/brakes", web.ByViewer, s.brakes.BrakesPage},
		{"POST", "/brakes", web.ByOwner, s.brakes.KeepBrake},
		{"GET", "/brakes/new", web.ByOwner, s.brakes.NewBrakePage},
		{"GET", "/brakes/measure", web.ByViewer, s.brakes.MeasurePage},
		{"GET", "/brakes/{seq:[0-9]+}", web.ByViewer, s.brakes.BrakePage},
		{"POST", "/brakes/{seq:[0-9]+}/fingers", web.ByOwner, s.brakes.SetFingers},
		{"GET", "/brakes/{seq:[0-9]+}/changes", web.ByViewer, s.brakes.BrakeChanges},
		{"GET", "/brakes/{seq:[0-9]+}/brake.json", web.ByViewer, s.brakes.BrakeFileOf},

		{"GET", "/stock", web.ByViewer, s.office.StockPage},
		{"POST", "/stock/packs", web.ByOwner, s.office.KeepPack},
		{"GET", "/stock/trial", web.ByOwner, s.office.TrialPage},
		{"POST", "/stock/trial", web.ByOwner, s.office.LearnTrial},
	}
}

// shopRoutes are the shop and its people.
func (s *Server) shopRoutes() []route {
	return []route{
		{"GET", "/setup", web.ByOwner, s.office.SetupPage},
		{"POST", "/setup", web.ByOwner, s.office.KeepSetup},
		{"GET", "/shop", web.ByViewer, s.office.ShopPage},
		{"POST", "/shop/password", web.ByOwner, s.office.SetPassword},
		{"POST", "/shop/viewer", web.ByOwner, s.office.SetViewer},
		{"POST", "/shop/sessions", web.ByOwner, s.office.SignOutAll},
		{"GET", "/running", web.ByViewer, s.office.RunningPage},
	}
}
