package server_test

import (
	"database/sql"
	"net/http"
	"net/url"
	"path/filepath"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
)

// What is damaged is sent to nobody: 503 with words that say whom to ask, and no byte
// of it. Everything else is shown as before.
func TestDamagedIsRefused(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	made := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	code := s.IssueFor(made, "1041", owner)
	s.Ask(shoptest.PhotoRequest(t, "/t/"+code+"/photos", shoptest.PhotoFields(func(f url.Values) { f.Set("id", "look") }), shoptest.JpegPhoto(t)))
	db, err := sql.Open("sqlite3", filepath.Join(s.Dir, store.FileName))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, c := range []struct{ path, spoil string }{
		{"/t/" + code + "/sheet.pdf", `UPDATE traveler SET pdf = zeroblob(length(pdf)) WHERE code = '` + code + `'`},
		{"/jobs/" + code + "/photos/1", `UPDATE photo SET image = zeroblob(length(image))`},
		{"/parts/" + made + "/part.json", `UPDATE revision SET json = CAST('{"number":"another"}' AS BLOB) WHERE seq = ` + made},
	} {
		if answer, body := s.Get(c.path, owner); answer.StatusCode != http.StatusOK {
			t.Fatalf("%s = %d before it is damaged: %s", c.path, answer.StatusCode, body)
		}
		edited(t, db, c.spoil)
		answer, body := s.Get(c.path, owner)
		if kind := answer.Header.Get("Content-Type"); answer.StatusCode != http.StatusServiceUnavailable ||
			!strings.HasPrefix(kind, "text/html") || !strings.Contains(body, "is damaged and is not shown") || strings.ContainsAny(body, "\x00") {
			t.Errorf("%s, damaged = %d, %s: %.200q; want 503 in words", c.path, answer.StatusCode, kind, body)
		}
	}
	for _, path := range []string{"/", "/jobs/" + code, "/t/" + code} {
		if answer, body := s.Get(path, owner); answer.StatusCode != http.StatusOK {
			t.Errorf("%s beside what is damaged = %d: %.200s", path, answer.StatusCode, body)
		}
	}
}

// edited changes the store as a program for databases would whose user has dropped
// the triggers.
func edited(t *testing.T, db *sql.DB, statement string) {
	t.Helper()
	rows, err := db.Query(`SELECT name FROM sqlite_schema WHERE type = 'trigger'`)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			t.Fatal(err)
		}
		names = append(names, name)
	}
	if err := rows.Close(); err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if _, err := db.Exec(`DROP TRIGGER ` + name); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := db.Exec(statement); err != nil {
		t.Fatal(err)
	}
}
