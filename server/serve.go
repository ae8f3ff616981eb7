package server

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"time"

	"brakeside/server/panics"
)

// Handler gives the whole service.
func (s *Server) Handler() http.Handler { return s.site.Handler(s.Routes()) }

// HTTP gives a server of the standard library for these pages, with a limit on
// every wait, so that no slow or silent client holds anything for long. Its
// Shutdown also ends the streams of the owner's open pages.
func (s *Server) HTTP() *http.Server {
	served := &http.Server{
		Handler:           s.Handler(),
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       20 * time.Second,
		WriteTimeout:      60 * time.Second,
		IdleTimeout:       90 * time.Second,
		MaxHeaderBytes:    16 << 10,
		ErrorLog:          slog.NewLogLogger(s.site.Log.Handler(), slog.LevelWarn),
	}
	served.RegisterOnShutdown(s.site.News.Stop) // streams would hold up the stop
	go s.warm()
	return served
}

// warm reads the list of jobs and what the log teaches, so that the first page
// that asks need not wait. It is only a head start: a failure shows again where
// it matters.
func (s *Server) warm() {
	ctx := context.Background()
	err := panics.Caught(func() error {
		_, err := s.site.Store.Travelers(ctx)
		return errors.Join(err, s.book.Warm(ctx))
	})
	if err != nil {
		s.site.Log.Warn("the log was not read ahead", "error", err)
	}
}
