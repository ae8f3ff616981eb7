package hands_test

import (
	"bufio"
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"log/slog"
	"net"
	"os"
	"os/exec"
	"sync/atomic"
	"testing"
	"time"

	"brakeside/server"
	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
)

// order is what a service in a process of its own is told on its standard input, one
// a line as JSON; it answers each with a line.
type order struct {
	Ahead    time.Duration // how far its clock is wrong from now on
	Issue    string        // code of a sheet of channel to issue
	Replaces string        // by that sheet
	Decide   *store.Event
}

// The test binary is that service where these are set.
const (
	serviceFolder, serviceAddress, serviceAhead = "HANDS_SERVICE_FOLDER", "HANDS_SERVICE_ADDRESS", "HANDS_SERVICE_AHEAD"
)

const doneWord = "done"

// serve serves a folder as it is told, until it is killed.
func serve() error {
	var ahead atomic.Int64
	given, err := time.ParseDuration(os.Getenv(serviceAhead))
	if err != nil {
		return err
	}
	ahead.Store(int64(given))
	now := func() time.Time { return time.Now().Add(time.Duration(ahead.Load())) }
	kept, err := store.Open(os.Getenv(serviceFolder), now)
	if err != nil {
		return err
	}
	if err := kept.KeepSetting(context.Background(), store.SettingSetUp, "yes"); err != nil {
		return err
	}
	address := os.Getenv(serviceAddress)
	pages, err := server.New(server.Options{
		Store: kept, Base: "http://" + address, Now: now, Random: rand.Reader, Log: slog.New(slog.DiscardHandler),
	})
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return err
	}
	go pages.HTTP().Serve(listener)
	fmt.Println(doneWord)
	for in := bufio.NewScanner(os.Stdin); in.Scan(); {
		var told order
		if err := json.Unmarshal(in.Bytes(), &told); err != nil {
			return err
		}
		ahead.Store(int64(told.Ahead))
		if err := told.follow(kept); err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(doneWord)
	}
	return kept.Close()
}

func (o order) follow(kept *store.Store) error {
	ctx := context.Background()
	if o.Decide != nil {
		return kept.AddEvent(ctx, *o.Decide)
	}
	if o.Issue == "" {
		return nil
	}
	sheet := shoptest.Channel()
	sheet.Code, sheet.Address = o.Issue, "http://"+os.Getenv(serviceAddress)+"/t/"+o.Issue
	if o.Replaces == "" {
		return shoptest.Issue(ctx, kept, sheet)
	}
	sheet.Part.Revision = "D"
	return shoptest.Issue(ctx, kept, sheet, o.Replaces)
}

// ownService is a service in a process of its own, which can be killed and started
// again on the same folder and address.
type ownService struct {
	t               *testing.T
	folder, address string
	ahead           time.Duration // how far its clock is wrong
	process         *exec.Cmd     // nil: it is down
	in              *json.Encoder
	out             *bufio.Scanner
}

// startService starts a service on a fresh folder and a free port.
func startService(t *testing.T) *ownService {
	t.Helper()
	listener, err := net.Listen("tcp", net.JoinHostPort(shoptest.LANAddress(t), "0"))
	if err != nil {
		t.Fatal(err)
	}
	listener.Close()
	s := &ownService{t: t, folder: t.TempDir(), address: listener.Addr().String()}
	t.Cleanup(s.kill)
	s.start()
	return s
}

func (s *ownService) start() {
	s.t.Helper()
	if s.process != nil {
		return
	}
	s.process = exec.Command(os.Args[0])
	s.process.Env = append(os.Environ(), serviceFolder+"="+s.folder, serviceAddress+"="+s.address, serviceAhead+"="+s.ahead.String())
	s.process.Stderr = os.Stderr
	in, err := s.process.StdinPipe()
	if err != nil {
		s.t.Fatal(err)
	}
	out, err := s.process.StdoutPipe()
	if err != nil {
		s.t.Fatal(err)
	}
	if err := s.process.Start(); err != nil {
		s.t.Fatal(err)
	}
	s.in, s.out = json.NewEncoder(in), bufio.NewScanner(out)
	s.done()
}

// done waits until the service says that it has done as it was told.
func (s *ownService) done() {
	s.t.Helper()
	if !s.out.Scan() || s.out.Text() != doneWord {
		s.t.Fatalf("the service says %q, %v", s.out.Text(), s.out.Err())
	}
}

// kill ends the service as kill -9 does.
func (s *ownService) kill() {
	if s.process == nil {
		return
	}
	_ = s.process.Process.Kill()
	_ = s.process.Wait() // it says that it was killed
	s.process = nil
}

// told has the service do something; it must be up.
func (s *ownService) told(o order) {
	s.t.Helper()
	o.Ahead = s.ahead
	if err := s.in.Encode(o); err != nil {
		s.t.Fatal(err)
	}
	s.done()
}
