package main

import (
	"flag"
	"math/rand/v2"
	"net/http"
	"path/filepath"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
)

var soak = flag.Bool("soak", false, "kill the service 200 times instead of 10, and let the power go 2,000 times instead of 20")

const killers = 20 // phones at the service when it is killed

// phone logs readings, one after the other, and remembers what was promised.
type phone struct {
	number   int
	codes    []string
	n        int
	doubt    *posted     // sent, and not answered: it is sent again
	kept     []posted    // answered with 200 or 201
	refused  int         // answered in any other way
	again    int         // answered with 200: it had been stored before the kill
	enough   int         // refusals after which it stops; 0: never
	statuses map[int]int // of the refusals
}

// countdown tells when so many answers have come.
type countdown struct {
	left atomic.Int64
	done chan struct{}
}

func countdownOf(answers int) *countdown {
	c := &countdown{done: make(chan struct{})}
	c.left.Store(int64(answers))
	if answers <= 0 {
		close(c.done)
	}
	return c
}

func (c *countdown) answer() {
	if c.left.Add(-1) == 0 {
		close(c.done)
	}
}

// work posts until the service is gone. Every answer is counted.
func (p *phone) work(base string, answers *countdown) {
	l, err := dial(base)
	if err != nil {
		return
	}
	defer l.close()
	for {
		if p.doubt == nil {
			next := newPosted(p.number, p.n)
			p.doubt, p.n = &next, p.n+1
		}
		// The sheet follows from the count, so that a reading is sent again to
		// the sheet it was sent to.
		status, _, err := l.post(p.codes[(p.n/50)%len(p.codes)], *p.doubt)
		if err != nil {
			return
		}
		switch status {
		case http.StatusOK:
			p.again++
			fallthrough
		case http.StatusCreated:
			p.kept = append(p.kept, *p.doubt)
			answers.answer()
		default:
			if p.refused++; p.statuses == nil {
				p.statuses = make(map[int]int)
			}
			if p.statuses[status]++; p.refused == p.enough {
				return
			}
		}
		p.doubt = nil
	}
}

// TestKilled kills a service with 20 phones at it, again and again, at a moment
// that nobody has chosen. Every reading that was answered is there afterwards,
// none is there twice, and the store is sound.
func TestKilled(t *testing.T) {
	rounds := 10
	if *soak {
		rounds = 200
	}
	data := filepath.Join(t.TempDir(), "shop")
	codes := crowdSheets(t, data, 8*killers)
	phones := make([]*phone, killers)
	for i := range phones {
		phones[i] = &phone{number: i, codes: codes[8*i : 8*i+8]}
	}
	random := rand.New(rand.NewPCG(7, 11))
	for round := range rounds {
		after := random.IntN(600)
		if round%10 == 9 {
			after = -1 // while it is still starting
		}
		killAfter(t, data, phones, after)
		if !*soak || round%10 == 9 {
			sound(t, data)
			unkept(t, storedReadings(t, data), phones[round%killers].kept)
		}
	}
	stored := storedReadings(t, data)
	answered, lost, again, refused, doubts := 0, 0, 0, 0, 0
	for _, p := range phones {
		answered += len(p.kept)
		lost += unkept(t, stored, p.kept)
		again, refused = again+p.again, refused+p.refused
		if p.doubt != nil {
			doubts++
		}
	}
	t.Logf("killed %d times: %d readings answered, %d lost, %d stored before the kill and asked for again, %d refused", rounds, answered, lost, again, refused)
	if lost > 0 || refused > 0 || answered < 20*rounds {
		t.Errorf("%d of %d answered readings are lost, %d were refused", lost, answered, refused)
	}
	if extra := len(stored) - answered; extra < 0 || extra > doubts {
		t.Errorf("%d readings are stored for %d answered and %d in doubt", len(stored), answered, doubts)
	}
	sound(t, data)
}

// killAfter starts the service, lets the phones log and kills it once so many
// readings were answered; -1 kills it before it says that it is up.
func killAfter(t *testing.T, data string, phones []*phone, answers int) {
	t.Helper()
	r := starts(t, "serve", "-addr", "127.0.0.1:0", "-data", data)
	if answers >= 0 {
		r.killAtWork(phones, answers)
		return
	}
	r.kill()
}

// killAtWork lets the phones log and kills the service once so many readings were
// answered.
func (r *running) killAtWork(phones []*phone, answers int) {
	r.t.Helper()
	stopped, enough := atWork(phones, r.says("brakeside is at "), answers)
	select {
	case <-enough:
	case <-stopped:
		r.t.Errorf("all phones have given up; the service complained %q", r.errs)
	}
	r.kill()
	<-stopped
}

// atWork lets the phones log, and gives what is closed once all have stopped and
// once so many readings were answered.
func atWork(phones []*phone, base string, answers int) (stopped, enough <-chan struct{}) {
	counted, all := countdownOf(answers), make(chan struct{})
	var wait sync.WaitGroup
	for _, p := range phones {
		wait.Go(func() { p.work(base, counted) })
	}
	go func() { wait.Wait(); close(all) }()
	return all, counted.done
}

// kill ends the service without a word.
func (r *running) kill() {
	r.t.Helper()
	if err := r.command.Process.Signal(syscall.SIGKILL); err != nil {
		r.t.Fatal(err)
	}
	for range r.lines { // until it is gone
	}
	r.command.Wait()
	r.guard.Stop()
}

// TestStopFinishesWhatItAccepted tells a service with 20 phones at it to stop.
// It ends well, and what is stored is exactly what was answered: nothing that it
// had accepted was left without an answer.
func TestStopFinishesWhatItAccepted(t *testing.T) {
	data := filepath.Join(t.TempDir(), "shop")
	codes := crowdSheets(t, data, killers)
	for round, answers := range []int{1, 150, 400} {
		var phones []*phone
		r := starts(t, "serve", "-addr", "127.0.0.1:0", "-data", data)
		base := r.says("brakeside is at ")
		before := len(storedReadings(t, data))
		for i := range killers {
			phones = append(phones, &phone{number: 100*round + i, codes: codes[i : i+1]})
		}
		stopped, enough := atWork(phones, base, answers)
		<-enough
		r.stop(syscall.SIGTERM)
		<-stopped
		stored := storedReadings(t, data)
		answered := 0
		for _, p := range phones {
			answered += len(p.kept)
			unkept(t, stored, p.kept)
			if p.refused > 0 {
				t.Errorf("phone %d was refused %d times", p.number, p.refused)
			}
		}
		if len(stored)-before != answered {
			t.Errorf("%d readings stored and %d answered, want the same", len(stored)-before, answered)
		}
	}
	sound(t, data)
}
