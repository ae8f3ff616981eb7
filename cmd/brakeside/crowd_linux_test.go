package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// crowdPieces is how many pieces the sheets of a crowd are for.
const crowdPieces = 200

// crowdSheets fills a new data folder with sheets that let any piece be logged,
// and gives their codes. The sheets are made up.
func crowdSheets(t *testing.T, data string, count int) []string {
	t.Helper()
	st, err := store.Open(data, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	codes := make([]string, count)
	for n := range codes {
		sheet := crowdSheet(n)
		codes[n] = sheet.Code
		snapshot, err := traveler.Encode(sheet)
		if err != nil {
			t.Fatal(err)
		}
		ctx := context.Background()
		for _, step := range []func() error{
			func() error {
				return st.AddJob(ctx, store.Job{Number: sheet.Job, Part: sheet.Part.Number, Revision: "A", Quantity: crowdPieces, Brake: sheet.Brake.Name})
			},
			func() error {
				return st.KeepTraveler(ctx, store.Issued{Traveler: sheet, Snapshot: snapshot, PDF: []byte("%PDF")})
			},
			func() error {
				return st.AddEvent(ctx, store.Event{Code: sheet.Code, Kind: standing.Released, Detail: "a trial of the service"})
			},
		} {
			if err := step(); err != nil {
				t.Fatal(err)
			}
		}
	}
	return codes
}

func crowdSheet(n int) *traveler.Traveler {
	step := func(number int, target unit.CentiDeg) traveler.Step {
		return traveler.Step{Number: number, Bend: fmt.Sprintf("b%d", number), Target: target, Tolerance: 100, Stop: target + 200, StopBend: target + 200, Bar: "wide"}
	}
	return &traveler.Traveler{
		Form: traveler.Form, Code: fmt.Sprintf("crwd%013d", n), Job: fmt.Sprintf("J-%d", 2000+n), Quantity: crowdPieces, Run: traveler.ByStep,
		IssuedAt: "2026-05-04T08:00:00Z", IssuedBy: "owner",
		Part:  traveler.Part{Number: "RB-20", Title: "Rail bracket", Revision: "A", MaterialID: "mild-steel", Material: "mild steel", Thickness: 1500},
		Brake: traveler.Brake{Name: "leaf brake 1.2 m", Reads: "bend", MaxAngle: 13000},
		Steps: []traveler.Step{step(1, 9000), step(2, 4500), step(3, 9000)},
	}
}

// posted is one reading that a phone has sent or is about to.
type posted struct {
	id   string
	body string
}

var idsMade atomic.Int64

// newPosted makes the next reading of a phone, with an id as phones make them:
// the time first, here a count.
func newPosted(phone, n int) posted {
	id := fmt.Sprintf("%012x-%d", idsMade.Add(1), phone)
	return posted{id, fmt.Sprintf(`{"id":"%s","piece":%d,"step":%d,"measured":%.1f,"place":"middle","by":"P%d","confirmed":true}`,
		id, n%crowdPieces+1, 1, 89.5+float64(n%10)/10, phone)}
}

// line is one kept-open connection of a phone. It sends no more than it was
// told to and connects to this machine only.
type line struct {
	host string
	conn net.Conn
	in   *bufio.Reader
}

// dial makes a line to a service; everything but the machine itself is refused.
func dial(base string) (*line, error) {
	u, err := url.Parse(base)
	if err != nil {
		return nil, err
	}
	if ip := net.ParseIP(u.Hostname()); ip == nil || !ip.IsLoopback() {
		return nil, fmt.Errorf("%s is not this machine: a crowd is for trials only", base)
	}
	conn, err := net.DialTimeout("tcp", u.Host, testPatience)
	if err != nil {
		return nil, err
	}
	return &line{u.Host, conn, bufio.NewReader(conn)}, nil
}

// post sends a reading and gives the answer.
func (l *line) post(code string, p posted) (status int, body string, err error) {
	l.conn.SetDeadline(time.Now().Add(testPatience))
	request := fmt.Sprintf("POST /t/%s/readings HTTP/1.1\r\nHost: %s\r\nContent-Type: application/json\r\nAccept: application/json\r\nContent-Length: %d\r\n\r\n%s",
		code, l.host, len(p.body), p.body)
	if _, err := io.WriteString(l.conn, request); err != nil {
		return 0, "", err
	}
	answer, err := http.ReadResponse(l.in, nil)
	if err != nil {
		return 0, "", err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	return answer.StatusCode, string(text), err
}

func (l *line) close() {
	if l != nil {
		l.conn.Close()
	}
}

// storedReadings gives the body of every reading that the store of a folder
// has, by id, and fails on one that is there twice.
func storedReadings(t *testing.T, data string) map[string]string {
	t.Helper()
	st, err := store.View(data)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	stored := make(map[string]string)
	err = st.Export(context.Background(), func(s store.Sample) error {
		if _, twice := stored[s.Reading.ID]; twice {
			t.Errorf("reading %s is there twice", s.Reading.ID)
		}
		stored[s.Reading.ID] = fmt.Sprintf(`"piece":%d,"step":%d,"measured":%s`, s.Reading.Piece, s.Reading.Step, s.Reading.Measured.Text(1))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return stored
}

// unkept counts the readings that are not stored as they were sent.
func unkept(t *testing.T, stored map[string]string, sent []posted) (n int) {
	t.Helper()
	for _, p := range sent {
		if have, there := stored[p.id]; !there || !strings.Contains(p.body, have) {
			if n++; n < 5 {
				t.Errorf("answered with 201: %s; stored: %q (%v)", p.body, have, there)
			}
		}
	}
	return n
}

// sound runs the check of the program on a folder.
func sound(t *testing.T, data string) {
	t.Helper()
	if o := runs(t, "check", "-data", data); o.code != exitFine {
		t.Errorf("check ends with %d: %s %s", o.code, o.out, o.err)
	}
}

// peakMemory gives the most memory that a process has had, in MiB.
func peakMemory(t *testing.T, pid int) float64 {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("/proc", fmt.Sprint(pid), "status"))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		var kB float64
		if n, _ := fmt.Sscanf(line, "VmHWM: %f kB", &kB); n == 1 {
			return kB / 1024
		}
	}
	t.Fatal("the system does not say how much memory a process has had")
	return 0
}
