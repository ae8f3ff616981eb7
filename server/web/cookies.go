package web

import (
	"net/http"
	"net/url"
)

// Remembered gives what a cookie of remember says; empty if there is none.
func Remembered(r *http.Request, name string) string {
	given, err := r.Cookie(name)
	if err != nil {
		return ""
	}
	value, err := url.QueryUnescape(given.Value)
	if err != nil {
		return ""
	}
	return value
}
