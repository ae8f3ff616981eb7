package web

import (
	"io"
	"net/http"
	"net/url"
	"strings"
)

// Uploaded is a file that was sent with a form, in the field upload; empty without one.
func Uploaded(r *http.Request) (name, text string, err error) {
	upload, about, err := r.FormFile("upload")
	if err != nil {
		return "", "", nil // none was sent
	}
	defer upload.Close()
	file, err := io.ReadAll(upload)
	if err != nil {
		return "", "", Unreadable("The file did not come through whole. Send it again.")
	}
	return about.Filename, strings.ReplaceAll(string(file), "\r\n", "\n"), nil
}

// TakeUpload puts a file that was sent with a form into its text.
func TakeUpload(r *http.Request, form url.Values) error {
	_, text, err := Uploaded(r)
	if err == nil && text != "" {
		form.Set("text", text)
	}
	return err
}
