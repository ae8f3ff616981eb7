package server

import (
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/server/store"
)

type issueView struct {
	Frame                                        frameView
	Message, Field                               string
	Job, Quantity, Brake, By, Replaces, PartText string
	Brakes                                       []string
}

func (s *Server) issuePage(w http.ResponseWriter, r *http.Request) error {
	return s.showIssue(w, r, issueView{Quantity: "1", Replaces: r.URL.Query().Get("replaces"), Job: r.URL.Query().Get("job")})
}

func (s *Server) showIssue(w http.ResponseWriter, r *http.Request, view issueView) error {
	view.Frame = frameView{"issue"}
	kept, err := s.store.Newest(r.Context(), store.Brakes)
	if err != nil {
		return err
	}
	for _, brake := range kept {
		view.Brakes = append(view.Brakes, brake.Name)
	}
	status := http.StatusOK
	if view.Message != "" {
		status = http.StatusUnprocessableEntity
	}
	return s.show(w, page{status, "owner/issue", view})
}

// issue plans a part, and keeps the sheet that comes of it together with its
// job. What is wrong in the part file is shown above the form, with what was
// typed still in it.
func (s *Server) issue(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, mostForm)
	if err := readForm(r); err != nil {
		return formFault(err)
	}
	view := issueView{
		Job: strings.TrimSpace(r.PostForm.Get("job")), Quantity: r.PostForm.Get("quantity"), Brake: r.PostForm.Get("brake"),
		By: strings.TrimSpace(r.PostForm.Get("by")), Replaces: strings.TrimSpace(r.PostForm.Get("replaces")),
	}
	code, err := s.issueSheet(r, &view)
	var refusal *fault.Refusal
	if errors.As(err, &refusal) && refusal.Kind != fault.Internal {
		view.Message, view.Field = refusal.Error(), refusal.Field
		return s.showIssue(w, r, view)
	}
	if err != nil {
		return err
	}
	s.news.tell()
	http.Redirect(w, r, jobAddress(code), http.StatusSeeOther)
	return nil
}

// issueSheet does the work of issue and gives the code of the new sheet. It
// puts the text of the part file into the view.
func (s *Server) issueSheet(r *http.Request, view *issueView) (code string, err error) {
	file, err := partFile(r)
	if err != nil {
		return "", err
	}
	view.PartText = string(file)
	quantity, err := strconv.Atoi(view.Quantity)
	if err != nil || quantity < 1 || quantity > 99999 {
		return "", fault.New(fault.Invalid, "quantity", "The number of pieces is a whole number from 1 to 99999, not %q.", view.Quantity)
	}
	if view.Job == "" {
		return "", fault.New(fault.Invalid, "job", "The job needs a number.")
	}
	if s.planner == nil {
		return "", fault.New(fault.Busy, "", "This service was started without a planner: it can only show sheets.")
	}
	issued, err := s.planner.Issue(r.Context(), IssueRequest{file, view.Job, quantity, view.Brake, view.By})
	if err != nil {
		return "", err
	}
	if view.Replaces != "" {
		issued.Supersedes = append(issued.Supersedes, view.Replaces)
	}
	return issued.Traveler.Code, s.keepIssued(r, issued)
}

// partFile gives the uploaded file, or the pasted text when there is none.
func partFile(r *http.Request) ([]byte, error) {
	upload, _, err := r.FormFile("file")
	if err == nil {
		defer upload.Close()
		file, err := io.ReadAll(upload)
		if err != nil {
			return nil, unreadable("The part file did not come through whole. Send it again.")
		}
		if len(file) > 0 {
			return file, nil
		}
	}
	if text := r.PostForm.Get("part"); strings.TrimSpace(text) != "" {
		return []byte(text), nil
	}
	return nil, fault.New(fault.Invalid, "part", "Choose a part file or paste one.")
}

// keepIssued keeps a sheet under its job, which is opened if it is new. A job
// that has a sheet already takes another one only in place of the old.
func (s *Server) keepIssued(r *http.Request, issued store.Issued) error {
	t := issued.Traveler
	err := s.store.AddJob(r.Context(), store.Job{
		Number: t.Job, Part: t.Part.Number, Revision: t.Part.Revision, Quantity: t.Quantity, Brake: t.Brake.Name,
	})
	if fault.KindOf(err) == fault.Conflict {
		err = s.maySupplement(r, issued)
	}
	if err != nil {
		return err
	}
	return s.store.KeepTraveler(r.Context(), issued)
}

func (s *Server) maySupplement(r *http.Request, issued store.Issued) error {
	if len(issued.Supersedes) > 0 {
		return nil
	}
	sheets, err := s.store.Travelers(r.Context())
	if err != nil {
		return err
	}
	for _, sheet := range sheets {
		if sheet.Job == issued.Traveler.Job {
			return fault.New(fault.Conflict, "job", "Job %s has a sheet already. Give the code of the sheet that this one replaces, or take another job number.", sheet.Job)
		}
	}
	return nil
}
