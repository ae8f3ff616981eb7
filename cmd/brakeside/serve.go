package main

import (
	"context"
	"crypto/rand"
	"crypto/tls"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/signal"
	"regexp"
	"strings"
	"syscall"
	"time"

	"brakeside/calc/fault"
	"brakeside/server"
	"brakeside/server/lessons"
	"brakeside/server/password"
	"brakeside/server/store"
)

// defaultAddr listens on every network of the machine, so that phones reach
// it.
const defaultAddr = ":8080"

// defaultData is the data folder when none is named.
const defaultData = "brakeside-data"

// service is a running server on a store.
type service struct {
	base     string
	store    *store.Store
	log      *slog.Logger
	listener net.Listener
	http     *http.Server
}

// site is where a service runs.
type site struct {
	addr, data, base string
	cert, key        string
	names            []string // that the machine goes by beside its own
	words            string   // file of the translated words
	backups          backups
	logFrom          slog.Level
	clocked          func() time.Time // nil: the clock of the machine
}

// clock is what the store goes by.
func (s site) clock() func() time.Time {
	if s.clocked == nil {
		return time.Now
	}
	return s.clocked
}

// untilTold gives a context that ends when the program is told to. Only the
// services have one: everything else just ends.
func untilTold(ctx context.Context) (context.Context, context.CancelFunc) {
	return signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
}

// serve runs the service until it is told to stop.
func serve(ctx context.Context, args []string, s streams) error {
	ctx, stop := untilTold(ctx)
	defer stop()
	flags := flag.NewFlagSet("serve", flag.ContinueOnError)
	at := site{addr: defaultAddr, data: defaultData}
	flags.Func("addr", "address to listen on", named(&at.addr, mostAddress))
	flags.Func("data", "data folder", filled(&at.data))
	flags.Func("url", "address that QR codes carry", named(&at.base, mostAddress))
	flags.Func("names", "more names under which the service is reached, with commas between", namesIn(&at.names))
	flags.Func("tls-cert", "certificate file", filled(&at.cert))
	flags.Func("tls-key", "key file", filled(&at.key))
	flags.Func("words", "catalogue that puts the pages into another language (.po)", filled(&at.words))
	flags.Func("backup", "folder for a copy of the store once a day", filled(&at.backups.folder))
	flags.IntVar(&at.backups.keep, "keep", 30, "how many of these copies are kept")
	if _, err := arguments(flags, args); err != nil {
		return err
	}
	if (at.cert == "") != (at.key == "") {
		return misused("serve: -tls-cert and -tls-key go together")
	}
	if err := at.backups.check(); err != nil {
		return err
	}
	v, err := open(at, s)
	if err != nil {
		return err
	}
	defer v.letGo()
	if err := v.greet(ctx, s); err != nil {
		v.listener.Close()
		return err
	}
	copied, scrubbed := v.backUpDaily(ctx, at.backups), v.scrubDaily(ctx)
	err = v.run(ctx)
	<-copied
	<-scrubbed
	return err
}

// letGo closes the store; what it has to say is for whoever keeps the service.
func (v *service) letGo() {
	if err := v.store.Close(); err != nil {
		v.log.Error("the store", "error", err)
	}
}

// hostName is a name as browsers have it: letters, digits and hyphens, with dots.
var hostName = regexp.MustCompile(`^[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?(\.[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?)*$`)

// namesIn is the value of the flag -names.
func namesIn(into *[]string) func(string) error {
	return func(v string) error {
		for name := range strings.SplitSeq(v, ",") {
			if name = strings.TrimSpace(name); len(name) > 253 || !hostName.MatchString(name) {
				return fmt.Errorf("%.40q is no name of a machine; write for example brake.shop.example", name)
			}
			*into = append(*into, name)
		}
		return nil
	}
}

// open takes the port, opens the store and makes the server.
func open(at site, s streams) (*service, error) {
	listener, err := listen(at)
	if err != nil {
		return nil, err
	}
	v := &service{listener: listener, log: slog.New(slog.NewTextHandler(s.err, &slog.HandlerOptions{Level: at.logFrom}))}
	scheme := "http"
	if at.cert != "" {
		scheme = "https"
	}
	if v.base, err = baseOfScheme(scheme, at.base, listener.Addr().String()); err != nil {
		listener.Close()
		return nil, err
	}
	if v.store, err = store.Open(at.data, at.clock()); err != nil {
		listener.Close()
		return nil, inFolder(at.data, err)
	}
	if err := v.furnish(at); err != nil {
		v.store.Close()
		listener.Close()
		return nil, err
	}
	if loopback(v.base) {
		fmt.Fprintf(s.err, "note: %s can be opened on this machine only; give -url with an address that phones reach\n", v.base)
	}
	return v, nil
}

// furnish makes the web server for an opened store.
func (v *service) furnish(at site) error {
	catalogue, err := readWords(at.words)
	if err != nil {
		return err
	}
	book := lessons.Open(v.store)
	web, err := server.New(server.Options{
		Store: v.store, Base: v.base, FixedBase: at.base != "", Names: at.names, Addresses: reachable(v.base),
		Now: time.Now, Random: rand.Reader, Log: v.log,
		Book: book, Planner: &planner{store: v.store, book: book, now: time.Now, random: rand.Reader}, ExampleBrake: demoBrake, Words: catalogue,
	})
	if err != nil {
		return err
	}
	v.http = web.HTTP()
	return nil
}

// listen takes the port, with TLS when a certificate is given.
func listen(at site) (net.Listener, error) {
	listener, err := net.Listen("tcp", at.addr)
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return nil, fault.New(fault.Invalid, "-addr", "%s is in use by another program; stop it or choose another port", at.addr)
	case errors.Is(err, syscall.EACCES):
		return nil, fault.New(fault.Invalid, "-addr", "this user may not listen on %s; choose a port above 1023", at.addr)
	case err != nil:
		return nil, fault.New(fault.Invalid, "-addr", "cannot listen on %s: %v", at.addr, err)
	}
	if at.cert == "" {
		return listener, nil
	}
	pair, err := tls.LoadX509KeyPair(at.cert, at.key)
	if err != nil {
		listener.Close()
		return nil, fault.New(fault.Invalid, "-tls-cert", "%s and %s are no certificate and key: %v", at.cert, at.key, err)
	}
	return tls.NewListener(listener, &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}), nil
}

// greet prints the address, and makes the owner's first password.
func (v *service) greet(ctx context.Context, s streams) error {
	fmt.Fprintf(s.out, "brakeside is at %s\n", v.base)
	_, err := v.store.Owner(ctx)
	if fault.KindOf(err) != fault.Missing {
		return err
	}
	password, err := newOwner(ctx, v.store)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "owner's password: %s\n", password)
	return err
}

// newOwner makes the owner's account with a generated password.
func newOwner(ctx context.Context, st *store.Store) (string, error) {
	fresh, err := password.New(rand.Reader)
	if err != nil {
		return "", err
	}
	return fresh, setPassword(ctx, st, fresh)
}

func setPassword(ctx context.Context, st *store.Store, chosen string) error {
	hash, err := password.Hash(chosen, rand.Reader)
	if err != nil {
		return err
	}
	return st.SetOwner(ctx, store.Owner{Name: "owner", PasswordHash: hash})
}

// patience is how long accepted requests get to finish when the service is
// told to stop.
const patience = 10 * time.Second

// run answers until the context ends, then finishes what it has accepted.
func (v *service) run(ctx context.Context) error {
	done := make(chan error, 1)
	go func() { done <- v.http.Serve(v.listener) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	stopping, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if err := v.http.Shutdown(stopping); err != nil {
		v.http.Close()
	}
	<-done
	return nil
}

// baseOf gives the address that QR codes carry: the one asked for, or that of
// this machine on its network with the port of the service.
func baseOf(asked, listening string) (string, error) {
	return baseOfScheme("http", asked, listening)
}

func baseOfScheme(scheme, asked, listening string) (string, error) {
	if asked != "" {
		u, err := url.Parse(asked)
		if err != nil || (u.Scheme != "http" && u.Scheme != "https") || u.Host == "" || u.RawQuery != "" || u.Fragment != "" {
			return "", misused("-url %q is no address; write for example http://192.0.2.7:8080", asked)
		}
		return strings.TrimRight(asked, "/"), nil
	}
	host, port, err := net.SplitHostPort(listening)
	if err != nil {
		return "", misused("-addr %q is no address; write for example :8080", listening)
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = lanAddress()
	}
	return scheme + "://" + net.JoinHostPort(host, port), nil
}

// lanAddress finds this machine's address on its network.
func lanAddress() string {
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		return "127.0.0.1"
	}
	for _, a := range addresses {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && n.IP.IsGlobalUnicast() {
			return n.IP.String()
		}
	}
	return "127.0.0.1"
}

// reachable lists the addresses under which the service may be reached on the
// networks of this machine.
func reachable(base string) []string {
	u, err := url.Parse(base)
	if err != nil {
		return nil
	}
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var out []string
	for _, a := range addresses {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && n.IP.IsGlobalUnicast() {
			out = append(out, u.Scheme+"://"+net.JoinHostPort(n.IP.String(), u.Port()))
		}
	}
	return out
}

func loopback(base string) bool {
	u, err := url.Parse(base)
	if err != nil {
		return false
	}
	ip := net.ParseIP(u.Hostname())
	return u.Hostname() == "localhost" || ip != nil && ip.IsLoopback()
}

// ownerPassword sets a new owner's password, read from standard input.
func ownerPassword(ctx context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("owner-password", flag.ContinueOnError)
	data := defaultData
	flags.Func("data", "data folder", filled(&data))
	if _, err := arguments(flags, args); err != nil {
		return err
	}
	if f, ok := s.in.(*os.File); ok {
		if info, err := f.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			fmt.Fprint(s.err, "new owner's password (shown while typing): ")
		}
	}
	line, err := readLine(s.in)
	if err != nil {
		return err
	}
	if n := len([]rune(line)); n < 12 || n > 200 {
		return fault.New(fault.Invalid, "password", "has %d characters; give 12 to 200", n)
	}
	st, err := openAnyhow(data)
	if err != nil {
		return inFolder(data, err)
	}
	defer st.Close()
	if err := setPassword(ctx, st, line); err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "the owner's password of %s is changed; everybody is signed out\n", data)
	return err
}

// openAnyhow opens a store for a new password: also beside a service that has it
// open.
func openAnyhow(data string) (*store.Store, error) {
	st, err := store.Open(data, time.Now)
	if fault.KindOf(err) == fault.Busy {
		return store.Beside(data, time.Now)
	}
	return st, err
}

// readLine reads one line of at most a kilobyte.
func readLine(in io.Reader) (string, error) {
	data, err := io.ReadAll(io.LimitReader(in, 1024))
	if err != nil {
		return "", err
	}
	line, _, _ := strings.Cut(string(data), "\n")
	return strings.TrimRight(line, "\r"), nil
}
