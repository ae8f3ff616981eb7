package engines_test

import (
	"bufio"
	"encoding/json"
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

// firefox starts a Firefox with a fresh profile.
func firefox(t *testing.T) line {
	t.Helper()
	program, profile, port := installed(t, "firefox-esr", "firefox-esr"), t.TempDir(), freePort(t)
	settings := fmt.Sprintf("user_pref(%q, %s);\nuser_pref(%q, %q);\n", "marionette.port", port, "datareporting.policy.firstRunURL", "")
	if err := os.WriteFile(filepath.Join(profile, "user.js"), []byte(settings), 0o600); err != nil {
		t.Fatal(err)
	}
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
