package server

import (
	"net/http"

	"brakeside/server/web"
)

// Serving gives some routes as the service would serve them.
func (s *Server) Serving(routes []web.Route) http.Handler { return s.site.Handler(routes) }

// News is what the owner's open pages are told.
func (s *Server) News() *web.News { return s.site.News }
