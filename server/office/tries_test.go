package office_test

import (
	"bufio"
	"context"
	"crypto/rand"
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"brakeside/server/internal/shoptest"
	"brakeside/server/office"
	"brakeside/server/password"
	"brakeside/server/store"
	"brakeside/server/web"
)

var attacks = flag.Int("attacks", 1, "how often 60 wrong passwords come at once")

// guarded serves a shop whose owner's password costs what it does in earnest, and
// gives its address.
func guarded(t *testing.T) string {
	t.Helper()
	s := shoptest.OpenShop(t)
	hash, err := password.Hash(shoptest.Password, rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Store.SetOwner(t.Context(), store.Owner{Name: "owner", PasswordHash: hash}); err != nil {
		t.Fatal(err)
	}
	service := httptest.NewUnstartedServer(nil)
	service.Config = s.Server.HTTP()
	service.Start()
	t.Cleanup(service.Close)
	return service.URL
}

// browserAt is a browser of its own at an address of this machine.
func browserAt(t *testing.T, address string) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	line := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}}
	transport := &http.Transport{DialContext: line.DialContext, MaxIdleConnsPerHost: 60}
	t.Cleanup(transport.CloseIdleConnections)
	return &http.Client{Jar: jar, Transport: transport, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

// signIn tries a password and gives the status of the answer.
func signIn(ctx context.Context, browser *http.Client, base, tried string) (int, error) {
	r, err := http.NewRequestWithContext(ctx, "POST", base+"/signin", strings.NewReader(url.Values{"password": {tried}}.Encode()))
	if err != nil {
		return 0, err
	}
	r.Header.Set("Content-Type", shoptest.FormType)
	answer, err := browser.Do(r)
	if err != nil {
		return 0, err
	}
	defer answer.Body.Close()
	_, err = io.Copy(io.Discard, answer.Body)
	return answer.StatusCode, err
}

// in signs the owner in and gives how long it took.
func in(t *testing.T, browser *http.Client, base string) time.Duration {
	t.Helper()
	began := time.Now()
	if status, err := signIn(t.Context(), browser, base, shoptest.Password); err != nil || status != http.StatusSeeOther {
		t.Fatalf("the owner's password = %d, %v; want to get in", status, err)
	}
	return time.Since(began)
}

// crowdFrom names the service and the address in the environment of the process that
// is the crowd: what its 60 browsers need of the machine is not the service's doing.
const crowdFrom = "BRAKESIDE_TEST_CROWD"

// TestCrowd is the crowd: it sends 60 wrong passwords at the same moment, each from a
// browser of its own at one address, and prints how many of them were worked on.
func TestCrowd(t *testing.T) {
	base, address, crowd := strings.Cut(os.Getenv(crowdFrom), " ")
	if !crowd {
		t.Skip("run by TestOwnerIsNotCrowdedOut")
	}
	var tried atomic.Int32
	var all sync.WaitGroup
	ready := make(chan struct{})
	for i := range 60 {
		browser := browserAt(t, address)
		all.Go(func() {
			<-ready
			status, err := signIn(t.Context(), browser, base, fmt.Sprint("wrong password ", i))
			if err != nil || status != http.StatusForbidden && status != http.StatusTooManyRequests {
				t.Errorf("a wrong password = %d, %v", status, err)
			}
			if status == http.StatusForbidden {
				tried.Add(1)
			}
		})
	}
	fmt.Println("ready")
	if _, err := fmt.Scanln(); err != nil {
		t.Fatal(err)
	}
	close(ready)
	fmt.Println("gone")
	all.Wait()
	fmt.Println(tried.Load())
}

// wrongAtOnce lets the crowd go at an address. What it gives waits for the end and
// tells how many passwords were tried.
func wrongAtOnce(t *testing.T, base, address string) (tried func() int) {
	t.Helper()
	crowd := exec.Command("nice", "-n", "19", os.Args[0], "-test.run=^TestCrowd$")
	crowd.Env = append(os.Environ(), crowdFrom+"="+base+" "+address)
	crowd.Stderr = os.Stderr
	out, err := crowd.StdoutPipe()
	begin, err2 := crowd.StdinPipe()
	if err := errors.Join(err, err2, crowd.Start()); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	said := func(want string) {
		t.Helper()
		if !lines.Scan() || lines.Text() != want {
			t.Fatalf("the crowd says %q, want %q", lines.Text(), want)
		}
	}
	said("ready")
	if _, err := fmt.Fprintln(begin); err != nil {
		t.Fatal(err)
	}
	said("gone")
	return sync.OnceValue(func() int {
		lines.Scan()
		count, err := strconv.Atoi(lines.Text())
		for lines.Scan() { // the rest of what a test prints
		}
		if err := errors.Join(err, crowd.Wait()); err != nil {
			t.Fatal(err)
		}
		return count
	})
}

// Sixty wrong passwords at the same moment: at most ten of them are tried, and the
// owner is in within twice the usual time, while they come and after, from the same
// address or another one, in a browser that was signed in before or a new one. The
// middle of the attacks is held to that where five or more are asked for: other work of
// the machine does much to a single look at the clock.
func TestOwnerIsNotCrowdedOut(t *testing.T) {
	ratios := make(map[string][]float64)
	for range *attacks {
		base := guarded(t)
		old := browserAt(t, "127.0.0.1")
		var before []float64
		for range 5 {
			before = append(before, in(t, old, base).Seconds())
		}
		usual := middle(before)
		for _, c := range []struct {
			name, from string
			owner      *http.Client
			after      bool // the crowd has gone
		}{
			{"another address", "127.0.0.2", browserAt(t, "127.0.0.9"), false},
			{"the same address, a browser of before", "127.0.0.1", old, false},
			{"the same address, a new browser, when the crowd has gone", "127.0.0.1", browserAt(t, "127.0.0.1"), true},
		} {
			base := base
			if c.after { // with its tries unused
				base = guarded(t)
				in(t, old, base)
			}
			tried := wrongAtOnce(t, base, c.from)
			if c.after {
				tried()
			}
			took := in(t, c.owner, base).Seconds()
			ratios[c.name] = append(ratios[c.name], took/usual)
			t.Logf("%s: %d of 60 tried, the owner is in after %.0f ms, usually %.0f", c.name, tried(), 1000*took, 1000*usual)
			if tried() > 10 {
				t.Errorf("%s: %d of 60 wrong passwords were tried, want at most 10", c.name, tried())
			}
			if took > 10*slices.Max(before) { // 60 passwords before it would take 30 times as long on two cores
				t.Errorf("%s: the owner is in after %.2f s, usually %.2f", c.name, took, usual)
			}
		}
	}
	for name, all := range ratios {
		t.Logf("%s: %.1f times the usual in the middle, %.1f at most", name, middle(all), slices.Max(all))
		if len(all) >= 5 && middle(all) > 2 {
			t.Errorf("%s: the owner is in after %.1f times the usual time, want 2", name, middle(all))
		}
	}
}

// middle is the middle of some figures.
func middle(of []float64) float64 { return slices.Sorted(slices.Values(of))[len(of)/2] }

// Who signs in as the viewer again and again, each time as a new browser, comes to no
// more tries at the owner's password than others.
func TestViewerHasNoMoreTries(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	s.Viewer(owner)
	tried := 0
	for range 30 {
		answer, _ := s.PostForm("/signin", url.Values{"password": {shoptest.ViewerPassword}})
		for range 8 {
			var given []*http.Cookie
			for _, c := range answer.Cookies() {
				if c.Name != web.SessionCookie {
					given = append(given, c)
				}
			}
			if answer, _ := s.PostForm("/signin", url.Values{"password": {"guess"}}, given...); answer.StatusCode == http.StatusForbidden {
				tried++
			}
		}
	}
	if tried != office.SignInBurst {
		t.Errorf("%d guesses were tried from browsers of the viewer, want %d", tried, office.SignInBurst)
	}
	tried = 0
	for i := range 20 {
		made := &http.Cookie{Name: "brakeside-browser", Value: fmt.Sprintf("made-up-%d.%064x", i, i)}
		if answer, _ := s.PostForm("/signin", url.Values{"password": {"guess"}}, made); answer.StatusCode == http.StatusForbidden {
			tried++
		}
	}
	if tried != office.SignInBurst+office.MoreTries {
		t.Errorf("%d guesses were tried under made-up names, want the %d of their address", tried, office.SignInBurst+office.MoreTries)
	}
}
