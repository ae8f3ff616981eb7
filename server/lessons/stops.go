package lessons

import (
	"context"
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"

	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/panics"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// mostSheets is of how many sheets it is kept what is known for them.
const mostSheets = 64

// Stops tells where to stop the leaf on the sheets in use: it keeps what the book
// knows for each, and goes on from there with the readings of the sheet, which
// come faster than the book is asked. It implements store.Stops.
type Stops struct {
	book *Book
	log  *slog.Logger

	catching atomic.Bool // the book is catching up with the log

	lock   sync.Mutex
	sheets map[string]*told
	asked  int // how many times the book was
}

// NewStops tells stops by a book.
func NewStops(book *Book, log *slog.Logger) *Stops {
	return &Stops{book: book, log: log, sheets: map[string]*told{}}
}

// Newest implements store.Stops.
func (s *Stops) Newest(t *traveler.Traveler) progress.Stops { return s.renewed(t, s.book.Sheet) }

// Of implements store.Stops. Nobody waits here until the book has caught up with
// the log.
func (s *Stops) Of(t *traveler.Traveler) progress.Stops {
	if kept := s.of(t); kept != nil && !kept.isStale() {
		return kept
	}
	defer s.catchUp()
	return s.renewed(t, s.book.SheetSoFar)
}

// catchUp has the book catch up beside, unless it does already.
func (s *Stops) catchUp() {
	if !s.catching.CompareAndSwap(false, true) {
		return
	}
	go func() {
		defer s.catching.Store(false)
		err := panics.Caught(func() error { return s.book.CatchUp(context.Background()) })
		if err != nil {
			s.log.Warn("the log was not caught up with", "error", err)
		}
	}()
}

func (s *Stops) of(t *traveler.Traveler) *told {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.sheets[t.Code]
}

// renewed asks the book for a sheet, of the pack it was last bent from. Without
// an answer what is printed holds.
func (s *Stops) renewed(t *traveler.Traveler, ask func(context.Context, *traveler.Traveler, string) (Sheet, error)) progress.Stops {
	pack := ""
	if before := s.of(t); before != nil {
		pack = before.packNow()
	}
	sheet, err := ask(context.Background(), t, pack)
	if err != nil {
		s.log.Warn("no advice from the log", "error", err)
		return nil
	}
	now := &told{traveler: t, sheet: sheet, model: sheet.Model, pack: pack}
	s.lock.Lock()
	defer s.lock.Unlock()
	s.asked++
	now.asked = s.asked
	s.sheets[t.Code] = now
	if len(s.sheets) > mostSheets {
		s.forgetOldest()
	}
	return now
}

// forgetOldest drops the sheet that the book was asked about longest ago: it comes back
// with its next page or reading.
func (s *Stops) forgetOldest() {
	oldest := ""
	for code, k := range s.sheets {
		if oldest == "" || k.asked < s.sheets[oldest].asked {
			oldest = code
		}
	}
	delete(s.sheets, oldest)
}

// told is what is known for one sheet: what the book knew when it was asked, and
// the readings of the sheet since.
type told struct {
	traveler *traveler.Traveler
	sheet    Sheet // as the book gave it; its model is never changed
	asked    int   // see Stops

	lock  sync.Mutex
	pack  string       // of the last reading that names one; empty for none
	model *learn.Model // with so many of the readings that count taken in
	taken int
	last  string // id of the last one taken in
	first bool   // the readings that the book knew have been counted
	knew  int    // of the sheet, those that teach
	stale bool   // the book is to be asked anew
	tip   tip

	said   map[int]learn.Advice // by step, as long as the model and the pack stay
	saidBy *learn.Model
	saidOf string // pack
}

// tip is the model with one more reading: mostly the one that is being judged. It
// is kept apart, for that one may not come to be stored.
type tip struct {
	of    progress.Reading
	model *learn.Model
}

func (k *told) isStale() bool {
	k.lock.Lock()
	defer k.lock.Unlock()
	return k.stale
}

func (k *told) packNow() string {
	k.lock.Lock()
	defer k.lock.Unlock()
	return k.pack
}

// Stop implements progress.Stops. Before anything was read of the pack the printed
// stop of a cell stands that somebody decided about; where nobody did, it is what
// the log says by now.
func (k *told) Stop(step *traveler.Step, counted []*progress.Reading) (stop unit.Deg, why string, known bool) {
	bend, is := k.sheet.Bends[step.Number]
	if !is {
		return 0, "", false
	}
	k.lock.Lock()
	defer k.lock.Unlock()
	model := k.after(counted)
	bend.Pack = k.packOf(k.pack)
	a := k.advice(model, bend, step.Number)
	if a.Basis == learn.Guess || a.Basis != learn.OfPack && !k.sheet.Open[step.Number] {
		return 0, "", false
	}
	if a.Basis == learn.OfPack && k.ofJob(bend.Pack) {
		a.From = "from " + readingsOf(a.N) + " of this job"
	}
	return a.Stop, a.From, true
}

// Carried implements progress.Stops.
func (k *told) Carried(counted []*progress.Reading) *learn.Carried {
	if len(k.sheet.Bends) == 0 {
		return nil
	}
	k.lock.Lock()
	defer k.lock.Unlock()
	model, bends := k.after(counted), map[int]learn.Bend{}
	for step, bend := range k.sheet.Bends {
		bend.Pack = k.packOf(k.pack)
		bends[step] = bend
	}
	c := model.Carry(bends)
	c.OfJob = k.ofJob(c.Pack)
	return &c
}

// ofJob reports whether a pack has no name of its own, but that of the sheet.
func (k *told) ofJob(pack string) bool { return pack == k.packOf("") && k.traveler.Pack == "" }

// advice is that of a model on the bend of a step: it is asked for several times
// with each reading.
func (k *told) advice(model *learn.Model, bend learn.Bend, step int) learn.Advice {
	if k.saidBy != model || k.saidOf != bend.Pack {
		k.said, k.saidBy, k.saidOf = map[int]learn.Advice{}, model, bend.Pack
	}
	a, known := k.said[step]
	if !known {
		a = model.Next(bend)
		k.said[step] = a
	}
	return a
}

func readingsOf(n int) string {
	if n == 1 {
		return "1 reading"
	}
	return fmt.Sprintf("%d readings", n)
}

// packOf is the pack that a reading of the sheet is of: the one it names, else the
// sheet's own.
func (k *told) packOf(named string) string {
	if named != "" {
		return named
	}
	return PackOf(k.traveler)
}

// after is the model after the readings that count: all but the newest are taken
// in for good, that one beside.
func (k *told) after(counted []*progress.Reading) *learn.Model {
	k.follow(counted)
	if len(counted) == 0 {
		return k.model
	}
	newest := counted[len(counted)-1]
	for ; k.taken < len(counted)-1; k.taken++ {
		r := counted[k.taken]
		if k.tip.is(r) {
			k.model = k.tip.model
		} else if lesson, teaches := k.lesson(r); teaches {
			k.model = k.model.Clone()
			k.model.Observe(lesson)
		}
		k.last = r.ID
	}
	lesson, teaches := k.lesson(newest)
	switch {
	case !teaches:
		return k.model
	case !k.tip.is(newest):
		k.tip = tip{*newest, k.model.Clone()}
		k.tip.model.Observe(lesson)
	}
	return k.tip.model
}

// is reports whether the tip is that of a reading as it now is.
func (t tip) is(r *progress.Reading) bool {
	return t.model != nil && t.of.ID == r.ID && t.of.Measured == r.Measured && t.of.StopBend == r.StopBend
}

// follow begins again with what the book knew where the readings are not those
// taken in and some more, and sees whether the book must be asked anew: a reading
// that it knew counts no more, or another pack is being bent.
func (k *told) follow(counted []*progress.Reading) {
	if k.taken > len(counted) || k.taken > 0 && counted[k.taken-1].ID != k.last {
		k.model, k.taken, k.tip = k.sheet.Model, 0, tip{}
	}
	knew, pack := 0, k.pack
	for _, r := range counted {
		if r.Seq > 0 && r.Seq <= k.sheet.UpTo && r.Teaches() {
			knew++
		}
		if r.Pack != "" {
			pack = r.Pack
		}
	}
	if !k.first {
		k.first, k.knew = true, knew
	}
	k.stale = k.stale || knew != k.knew || pack != k.pack
	k.pack = pack
}

// lesson is what a reading of the sheet teaches beside what the book knew.
func (k *told) lesson(r *progress.Reading) (learn.Reading, bool) {
	bend, known := k.sheet.Bends[r.Step]
	if !known || !r.Teaches() || r.Seq > 0 && r.Seq <= k.sheet.UpTo {
		return learn.Reading{}, false
	}
	bend.Pack = k.packOf(r.Pack)
	out := learn.Reading{
		Bend: bend, Reader: ReaderOf(*r), Stop: progress.StopUsed(k.traveler, *r).Deg(), Measured: r.Bend().Deg(),
		Opening: r.GivenAs == progress.GivenOpening,
	}
	if r.Leg != nil {
		out.Leg = r.Leg.MM()
	}
	return out, true
}
