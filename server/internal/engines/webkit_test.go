package engines_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// webDriver is the line of WebDriver over http.
type webDriver struct{ session string }

// webkit starts a bare window of WebKitGTK on a screen of its own, with the scripts of
// pages or without. It keeps nothing on
// the disk, as a private window of a phone.
func webkit(t *testing.T, scripts bool) line {
	t.Helper()
	program, screen := installed(t, "WebKitWebDriver", "webkit2gtk-driver"), installed(t, "Xvfb", "xvfb")
	port := freePort(t)
	driver := exec.Command(program, "--port="+port)
	driver.Env = append(os.Environ(), "HOME="+t.TempDir(), "DISPLAY=:"+display(t, screen))
	start(t, driver)
	dialled(t, port).Close()
	w := &webDriver{"http://127.0.0.1:" + port + "/session"}
	window, err := filepath.Abs("testdata/narrow.py")
	if err != nil {
		t.Fatal(err)
	}
	options := params{"binary": pythonWithWebKit(t), "args": []string{window, fmt.Sprint("--scripts=", scripts)}}
	value, err := w.send(newSession, params{"capabilities": params{"alwaysMatch": params{"webkitgtk:browserOptions": options}}})
	if err != nil {
		t.Fatal(err)
	}
	var begun struct {
		ID string `json:"sessionId"`
	}
	if err := json.Unmarshal(value, &begun); err != nil {
		t.Fatal(err)
	}
	w.session += "/" + begun.ID
	t.Cleanup(func() { _, _ = w.send(endSession, params{}) }) // the browser ends with it
	return w
}

// pythonWithWebKit is the Python of the system, which the bindings are for.
func pythonWithWebKit(t *testing.T) string {
	t.Helper()
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", `import gi; gi.require_version("WebKit2", "4.1")`).Run(); err != nil {
		missing(t, "WebKitGTK for Python", "python3-gi gir1.2-webkit2-4.1")
	}
	return python
}

// display starts a screen that nobody sees and gives its number.
func display(t *testing.T, screen string) string {
	t.Helper()
	number, out, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer number.Close()
	server := exec.Command(screen, "-displayfd", "3", "-screen", "0", "1280x900x24", "-nolisten", "tcp")
	server.ExtraFiles = []*os.File{out}
	start(t, server)
	out.Close()
	text, err := bufio.NewReader(number).ReadString('\n') // it dies of a reader who leaves before the end of the line
	if err != nil {
		t.Fatalf("the screen did not start: %v", err)
	}
	return strings.TrimSpace(text)
}

func (w *webDriver) send(c command, p params) (json.RawMessage, error) {
	body, err := json.Marshal(p)
	if err != nil {
		return nil, err
	}
	id, _ := p["id"].(string)
	request, err := http.NewRequest(c.method, w.session+strings.ReplaceAll(c.path, "{id}", id), bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	client := http.Client{Timeout: patience}
	answer, err := client.Do(request)
	if err != nil {
		return nil, err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		return nil, err
	}
	if answer.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("the browser says: %s", text)
	}
	var result struct {
		Value json.RawMessage `json:"value"`
	}
	err = json.Unmarshal(text, &result)
	return result.Value, err
}
