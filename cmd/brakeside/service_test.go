package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/csv"
	"encoding/json"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// patience bounds what a test waits for the program.
const testPatience = 30 * time.Second

// running is a service in a process of its own.
type running struct {
	t       *testing.T
	command *exec.Cmd
	lines   chan string
	errs    *strings.Builder
	said    []string
	guard   *time.Timer
}

// starts starts a service; the test ends it if it has not ended by then.
func starts(t *testing.T, args ...string) *running {
	t.Helper()
	return startsCommand(t, exec.Command("brakeside", args...))
}

func startsCommand(t *testing.T, command *exec.Cmd) *running {
	t.Helper()
	r := &running{t: t, command: command, lines: make(chan string, 100), errs: new(strings.Builder)}
	out, err := r.command.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	r.command.Stderr = r.errs
	if err := r.command.Start(); err != nil {
		t.Fatal(err)
	}
	r.guard = time.AfterFunc(4*testPatience, func() { r.command.Process.Kill() })
	go func() {
		defer close(r.lines)
		for in := bufio.NewScanner(out); in.Scan(); {
			r.lines <- in.Text()
		}
	}()
	t.Cleanup(func() {
		if r.command.ProcessState == nil {
			r.command.Process.Kill()
			r.command.Wait()
		}
		r.guard.Stop()
	})
	return r
}

// says waits for a line that begins so, and gives the rest of it.
func (r *running) says(start string) string {
	r.t.Helper()
	late := time.NewTimer(testPatience)
	defer late.Stop()
	for {
		select {
		case line, ok := <-r.lines:
			if !ok {
				r.command.Wait()
				r.t.Fatalf("ended before saying %q; said %q and complained %q", start, r.said, r.errs)
			}
			r.said = append(r.said, line)
			if rest, found := strings.CutPrefix(line, start); found {
				return strings.TrimSpace(rest)
			}
		case <-late.C:
			r.t.Fatalf("did not say %q within %s; said %q", start, testPatience, r.said)
		}
	}
}

// stop tells the service to end and wants it to end well.
func (r *running) stop(told syscall.Signal) {
	r.t.Helper()
	if err := r.command.Process.Signal(told); err != nil {
		r.t.Fatal(err)
	}
	for range r.lines { // until the program has closed its output
	}
	if err := r.command.Wait(); err != nil {
		r.t.Errorf("after %v: %v; complained %q", told, err, r.errs)
	}
}

// greeting is what demo prints.
type greeting struct {
	base, password, data, sheet string
	codes                       []string
}

func (r *running) greeting() greeting {
	r.t.Helper()
	g := greeting{base: r.says("owner's pages:"), password: r.says("owner's password:"), data: r.says("data folder:"), sheet: r.says("a traveler:")}
	for range demoJobs {
		g.codes = append(g.codes, r.says(g.base+"/t/"))
	}
	return g
}

// browserOf keeps cookies and follows no redirect.
func get(t *testing.T, address string) (status int, body string) {
	t.Helper()
	answer, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text)
}

// signsIn tries a password.
func signsIn(t *testing.T, base, password string) bool {
	t.Helper()
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := client.PostForm(base+"/signin", url.Values{"password": {password}})
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	return answer.StatusCode == http.StatusSeeOther
}

// ownAddress is this machine's address on its network, which is where phones
// find it.
func ownAddress(t *testing.T) string {
	t.Helper()
	if at := lanAddress(); at != "127.0.0.1" {
		return at
	}
	t.Skip("this machine has no network address besides its loopback")
	return ""
}

var codeForm = regexp.MustCompile(`^[2-9a-hj-kmnp-z]{16,}$`)

// TestDemoWaits: the demo is up, every printed sheet opens at the printed
// address, and it ends well when told to.
func TestDemoWaits(t *testing.T) {
	data := filepath.Join(t.TempDir(), "shop")
	r := starts(t, "demo", "-addr", net.JoinHostPort(ownAddress(t), "0"), "-data", data)
	g := r.greeting()
	if g.data != data || g.sheet != filepath.Join(data, "traveler-1041.pdf") {
		t.Errorf("data folder %q, traveler %q; want those in %q", g.data, g.sheet, data)
	}
	if pages, paper := pdfPages(readText(t, g.sheet)); pages == 0 || paper != "595.28x841.89" {
		t.Errorf("the traveler has %d pages of %s points", pages, paper)
	}
	if status, _ := get(t, g.base+"/healthz"); status != http.StatusOK {
		t.Errorf("healthz answers %d", status)
	}
	for i, code := range g.codes {
		if !codeForm.MatchString(code) {
			t.Errorf("code %q is not of 16 letters and digits without look-alikes", code)
		}
		status, page := get(t, g.base+"/t/"+code)
		if status != http.StatusOK || !strings.Contains(page, demoJobs[i].number) {
			t.Errorf("/t/%s answers %d; want the page of job %s", code, status, demoJobs[i].number)
		}
		if status, _ := get(t, g.base+"/t/"+strings.ToUpper(code)); status != http.StatusOK {
			t.Errorf("/t/%s in capitals answers %d", code, status)
		}
	}
	if !signsIn(t, g.base, g.password) || signsIn(t, g.base, g.password+"x") {
		t.Error("the printed password must sign in, and no other")
	}
	r.stop(syscall.SIGTERM)
	if r.errs.Len() > 0 {
		t.Errorf("complained %q", r.errs)
	}
}

// TestEmptyDemo: nothing is set up, so that the owner who signs in is led to the set-up.
func TestEmptyDemo(t *testing.T) {
	r := starts(t, "demo", "-empty", "-addr", net.JoinHostPort(ownAddress(t), "0"), "-data", filepath.Join(t.TempDir(), "shop"))
	base, password := r.says("owner's pages:"), r.says("owner's password:")
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	client := http.Client{Jar: jar}
	answer, err := client.PostForm(base+"/signin", url.Values{"password": {password}})
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if page, err := io.ReadAll(answer.Body); err != nil || answer.Request.URL.Path != "/setup" {
		t.Errorf("the owner is led to %s (%v), want the set-up: %.300s", answer.Request.URL.Path, err, page)
	}
	r.stop(syscall.SIGTERM)
	if o := runs(t, "demo", "-once", "-empty"); o.code != exitBadInput {
		t.Errorf("demo -once -empty ended with %d, want %d", o.code, exitBadInput)
	}
}

// TestDemoNeedsAFreshFolder: what is in a folder is never mixed with a demo,
// and a demo that cannot start leaves nothing.
func TestDemoNeedsAFreshFolder(t *testing.T) {
	full := t.TempDir()
	written(t, full, "letter.txt", "mine")
	o := runs(t, "demo", "-once", "-addr", "127.0.0.1:0", "-data", full)
	if got, want := o.complaint(t, exitBadInput), full+": -data: the folder is not empty; the demo wants a fresh one"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	wantListing(t, full, "letter.txt")
	busy, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer busy.Close()
	temporary := t.TempDir()
	t.Setenv("TMPDIR", temporary)
	at := busy.Addr().String()
	o = runs(t, "demo", "-once", "-addr", at)
	if got, want := o.complaint(t, exitBadInput), "-addr: "+at+" is in use by another program; stop it or choose another port"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	wantListing(t, temporary)
}

// stocked gives a data folder in which the demo has been through its job, a
// copy for each test.
func stocked(t testing.TB) string {
	t.Helper()
	copied, err := stock()
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "brakeside.db"), copied, 0o600); err != nil {
		t.Fatal(err)
	}
	return folder
}

var stock = sync.OnceValues(func() ([]byte, error) {
	folder, err := os.MkdirTemp("", "brakeside-stock-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	run(context.Background(), []string{"demo", "-once", "-addr", "127.0.0.1:0", "-data", filepath.Join(folder, "shop")}, streams{strings.NewReader(""), io.Discard, io.Discard})
	return os.ReadFile(filepath.Join(folder, "shop", "brakeside.db"))
})

// csvRows gives the rows of an export without its heading.
func csvRows(t *testing.T, path string) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(readText(t, path), "\ufeff"))).ReadAll()
	if err != nil || len(rows) == 0 {
		t.Fatalf("read the export: %v, %d rows", err, len(rows))
	}
	return rows[1:]
}

// TestKeeping: copy while the service runs, look for damage, put back
// elsewhere, export and review.
func TestKeeping(t *testing.T) {
	data, away := stocked(t), t.TempDir()
	r := starts(t, "serve", "-addr", "127.0.0.1:0", "-data", data)
	base := r.says("brakeside is at ")

	o := runs(t, "serve", "-addr", "127.0.0.1:0", "-data", data)
	if got, want := o.complaint(t, exitBadInput), "The folder "+data+" is in use by another service."; !strings.HasPrefix(got, want) {
		t.Errorf("a second service: %q, want %q", got, want)
	}
	const known = "a password set meanwhile"
	if o := runsOn(t, known+"\n", "owner-password", "-data", data); o.code != exitFine || !signsIn(t, base, known) {
		t.Errorf("a password set under a running service: exit %d, %s", o.code, o.err)
	}

	copied, fresh := filepath.Join(away, "copy.db"), filepath.Join(away, "fresh")
	ends := func(args ...string) {
		t.Helper()
		if o := runs(t, args...); o.code != exitFine || o.err != "" || o.out == "" {
			t.Errorf("%q ended with %d, %q, %q", args, o.code, o.out, o.err)
		}
	}
	ends("backup", "-data", data, copied)
	ends("check", "-data", data)
	if status, _ := get(t, base+"/healthz"); status != http.StatusOK {
		t.Errorf("healthz answers %d during the copying", status)
	}
	r.stop(syscall.SIGINT)

	ends("restore", "-data", fresh, copied)
	ends("check", "-data", fresh)
	for _, folder := range []string{data, fresh} {
		ends("export", "-data", folder, "-o", filepath.Join(folder, "all.csv"))
		if rows := csvRows(t, filepath.Join(folder, "all.csv")); len(rows) != len(demoJobs)*readingsPerJob {
			t.Errorf("%d readings exported of %s, want %d", len(rows), folder, len(demoJobs)*readingsPerJob)
		}
	}
	if readText(t, filepath.Join(data, "all.csv")) != readText(t, filepath.Join(fresh, "all.csv")) {
		t.Error("the copy exports other readings than the original")
	}
	ends("weekly", "-data", fresh, "-o", filepath.Join(away, "week.pdf"))
	if pages, paper := pdfPages(readText(t, filepath.Join(away, "week.pdf"))); pages != 1 || paper != "595.28x841.89" {
		t.Errorf("the weekly review has %d pages of %s points, want one A4", pages, paper)
	}
	wantListing(t, away, "copy.db", "fresh", "week.pdf")
}

// TestOwnerPassword: after a change the new password signs in and the old one
// does not; nobody else's session lives on.
func TestOwnerPassword(t *testing.T) {
	data := filepath.Join(t.TempDir(), "shop")
	r := starts(t, "serve", "-addr", "127.0.0.1:0", "-data", data)
	base := r.says("brakeside is at ")
	first := r.says("owner's password: ")
	if !signsIn(t, base, first) {
		t.Fatal("the printed password does not sign in")
	}
	r.stop(syscall.SIGTERM)
	if !strings.Contains(r.errs.String(), "can be opened on this machine only") {
		t.Errorf("no note about a loopback address: %q", r.errs)
	}
	const second = "folded edges hold 7 litres"
	if o := runsOn(t, second+"\r\n", "owner-password", "-data", data); o.code != exitFine || !strings.Contains(o.out, data) {
		t.Errorf("owner-password ended with %d, %q, %q", o.code, o.out, o.err)
	}
	r = starts(t, "serve", "-addr", "127.0.0.1:0", "-data", data)
	base = r.says("brakeside is at ")
	if signsIn(t, base, first) {
		t.Error("the old password still signs in")
	}
	if !signsIn(t, base, second) {
		t.Error("the new password does not sign in")
	}
	r.stop(syscall.SIGTERM)
	for _, line := range r.said {
		if strings.HasPrefix(line, "owner's password") {
			t.Errorf("a second start prints %q", line)
		}
	}
	for _, short := range []string{"", "elevenchars", strings.Repeat("x", 201)} {
		if got := runsOn(t, short+"\n", "owner-password", "-data", data).complaint(t, exitBadInput); !strings.HasPrefix(got, "password: has ") {
			t.Errorf("a password of %d characters: %q", len(short), got)
		}
	}
}

// TestCheckFindsDamage: a byte that changes within the file is found, with exit
// code 4.
func TestCheckFindsDamage(t *testing.T) {
	data := stocked(t)
	path := filepath.Join(data, "brakeside.db")
	sound := []byte(readText(t, path))
	hurt := func(change func([]byte) []byte) {
		if err := os.WriteFile(path, change(append([]byte{}, sound...)), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Contains(sound, []byte(`"number":"DT-310"`)) {
		t.Fatal("the store holds no traveler of DT-310")
	}
	for name, change := range map[string]func([]byte) []byte{
		"a letter of a snapshot": func(b []byte) []byte {
			return bytes.ReplaceAll(b, []byte(`"number":"DT-310"`), []byte(`"number":"DX-310"`))
		},
		"a page of zeros":         func(b []byte) []byte { copy(b[8192:12288], make([]byte, 4096)); return b },
		"the second half is gone": func(b []byte) []byte { return b[:len(b)/2] },
		"the header is gone":      func(b []byte) []byte { copy(b, "no database at all"); return b },
	} {
		hurt(change)
		if o := runs(t, "check", "-data", data); o.code != exitDamaged || strings.Count(o.err, "\n") != 1 {
			t.Errorf("%s: exit %d, %q, %q; want exit %d and one line", name, o.code, o.out, o.err, exitDamaged)
		}
	}
	hurt(func(b []byte) []byte { return b })
	if o := runs(t, "check", "-data", data); o.code != exitFine || o.out != "no damage found\n" {
		t.Errorf("the sound store: exit %d, %q, %q", o.code, o.out, o.err)
	}
}

// state asks the service for a sheet's state.
func state(t *testing.T, base, code string) map[string]any {
	t.Helper()
	status, text := get(t, base+"/t/"+code+"/state")
	var value map[string]any
	if err := json.Unmarshal([]byte(text), &value); err != nil || status != http.StatusOK {
		t.Fatalf("state of %s: %d, %v", code, status, err)
	}
	return value
}

// selfSigned makes a certificate for the loopback address.
func selfSigned(t *testing.T, folder string) (certificate, key string) {
	t.Helper()
	secret, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := x509.Certificate{
		SerialNumber: big.NewInt(1), IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
	}
	made, err := x509.CreateCertificate(rand.Reader, &template, &template, &secret.PublicKey, secret)
	if err != nil {
		t.Fatal(err)
	}
	bytes, err := x509.MarshalPKCS8PrivateKey(secret)
	if err != nil {
		t.Fatal(err)
	}
	block := func(kind string, data []byte) string {
		return string(pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: data}))
	}
	return written(t, folder, "cert.pem", block("CERTIFICATE", made)), written(t, folder, "key.pem", block("PRIVATE KEY", bytes))
}

// TestServeTLS: with a certificate the service speaks https, and says so.
func TestServeTLS(t *testing.T) {
	folder := t.TempDir()
	certificate, key := selfSigned(t, folder)
	r := starts(t, "serve", "-addr", "127.0.0.1:0", "-data", filepath.Join(folder, "shop"), "-tls-cert", certificate, "-tls-key", key)
	base := r.says("brakeside is at ")
	known := x509.NewCertPool()
	known.AppendCertsFromPEM([]byte(readText(t, certificate)))
	client := http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: known}}}
	answer, err := client.Get(base + "/healthz")
	if err != nil || !strings.HasPrefix(base, "https://127.0.0.1:") {
		t.Fatalf("%s: %v", base, err)
	}
	answer.Body.Close()
	client.CloseIdleConnections()
	if answer.StatusCode != http.StatusOK {
		t.Errorf("healthz answers %d over https", answer.StatusCode)
	}
	r.stop(syscall.SIGTERM)
}

// TestServeBase: -url is what the service calls itself, without a slash at the
// end, and no note is needed when phones reach it.
func TestServeBase(t *testing.T) {
	r := starts(t, "serve", "-addr", "127.0.0.1:0", "-data", filepath.Join(t.TempDir(), "shop"), "-url", "http://192.0.2.7:8080/")
	if base := r.says("brakeside is at "); base != "http://192.0.2.7:8080" {
		t.Errorf("the service calls itself %q", base)
	}
	r.says("owner's password: ")
	r.stop(syscall.SIGINT)
	if r.errs.Len() > 0 {
		t.Errorf("complained %q", r.errs)
	}
}
