package engines_test

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// marionette is the line that Firefox itself opens: each message is its length in
// bytes, a colon and JSON.
type marionette struct {
	connection net.Conn
	incoming   *bufio.Reader
	sent       int
}

// narrow lets a window of Firefox be narrower than its buttons, as a phone is.
const narrow = `:root, #main-window, body, #navigator-toolbox { min-width: 0 !important }
#navigator-toolbox { visibility: collapse; width: 300px; overflow: hidden }
`

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o700), os.WriteFile(path, []byte(text), 0o600)); err != nil {
		t.Fatal(err)
	}
}

// firefox starts a Firefox with a fresh profile, with the scripts of pages or without.
func firefox(t *testing.T, scripts bool) line {
	t.Helper()
	program, profile, port := installed(t, "firefox-esr", "firefox-esr"), t.TempDir(), freePort(t)
	settings := map[string]any{
		"marionette.port": json.RawMessage(port), "datareporting.policy.firstRunURL": "", "javascript.enabled": scripts,
		"toolkit.legacyUserProfileCustomizations.stylesheets": true,
	}
	var lines strings.Builder
	for name, value := range settings {
		text, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&lines, "user_pref(%q, %s);\n", name, text)
	}
	write(t, filepath.Join(profile, "user.js"), lines.String())
	write(t, filepath.Join(profile, "chrome", "userChrome.css"), narrow)
	browser := exec.Command(program, "--headless", "--marionette", "--no-remote", "--profile", profile, "about:blank")
	browser.Env = append(os.Environ(), "HOME="+profile)
	start(t, browser)
	connection := dialled(t, port)
	m := &marionette{connection: connection, incoming: bufio.NewReader(connection)}
	t.Cleanup(func() {
		_, _ = m.send(command{name: "Marionette:Quit"}, params{"flags": []string{"eForceQuit"}}) // it may be gone already
		connection.Close()
	})
	if _, err := m.message(); err != nil { // it says what it is
		t.Fatal(err)
	}
	if _, err := m.send(newSession, params{"capabilities": params{}}); err != nil {
		t.Fatal(err)
	}
	return m
}

func (m *marionette) message() ([]byte, error) {
	if err := m.connection.SetReadDeadline(time.Now().Add(patience)); err != nil {
		return nil, err
	}
	length, err := m.incoming.ReadString(':')
	if err != nil {
		return nil, err
	}
	size, err := strconv.Atoi(strings.TrimSuffix(length, ":"))
	if err != nil {
		return nil, err
	}
	text := make([]byte, size)
	_, err = io.ReadFull(m.incoming, text)
	return text, err
}

func (m *marionette) send(c command, p params) (json.RawMessage, error) {
	m.sent++
	text, err := json.Marshal([]any{0, m.sent, c.name, p})
	if err != nil {
		return nil, err
	}
	if _, err := fmt.Fprintf(m.connection, "%d:%s", len(text), text); err != nil {
		return nil, err
	}
	answer, err := m.message()
	if err != nil {
		return nil, err
	}
	var parts [4]json.RawMessage // sort, number, error, result
	if err := json.Unmarshal(answer, &parts); err != nil {
		return nil, err
	}
	if string(parts[2]) != "null" {
		return nil, fmt.Errorf("the browser says: %s", parts[2])
	}
	var result struct {
		Value json.RawMessage `json:"value"`
	}
	err = json.Unmarshal(parts[3], &result)
	return result.Value, err
}
