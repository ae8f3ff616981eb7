package lessons

import (
	"context"
	"math"

	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/traveler"
)

// Sheet is what the log knows that bears on one sheet: a small model, to be asked
// for the first piece and to observe the readings of the sheet that come after
// UpTo.
type Sheet struct {
	Model *learn.Model
	Bends map[int]learn.Bend // by step; a step is missing when the shop does not know the material
	Open  map[int]bool       // by step: nobody has decided about its stop, see history.open
	UpTo  int64              // seq of the last reading the model knows
}

// Sheet gives what is known for a sheet, bent from a named pack; without a name
// the sheet's own, of which only its own readings tell.
func (b *Book) Sheet(ctx context.Context, t *traveler.Traveler, pack string) (out Sheet, err error) {
	return b.sheet(ctx, t, pack, math.MaxInt)
}

// SheetSoFar is Sheet without taking in what is new.
func (b *Book) SheetSoFar(ctx context.Context, t *traveler.Traveler, pack string) (out Sheet, err error) {
	return b.sheet(ctx, t, pack, 0)
}

func (b *Book) sheet(ctx context.Context, t *traveler.Traveler, pack string, most int) (out Sheet, err error) {
	if pack == "" {
		pack = PackOf(t)
	}
	err = b.look(ctx, most, func(d *desk) error {
		out = Sheet{Bends: map[int]learn.Bend{}, Open: map[int]bool{}, UpTo: b.seen.Last}
		var bends []learn.Bend
		for _, step := range t.Steps {
			k := d.keyOf(t, step)
			if bend, known := d.bend(k, step.Target.Deg(), pack); known {
				out.Bends[step.Number], out.Open[step.Number] = bend, b.kept.past.open(k)
				bends = append(bends, bend)
			}
		}
		out.Model = b.about(d, bends...)
		return nil
	})
	return out, err
}

// Today gives for each reading the error that it would have at the stop a sheet
// is printed with now, so that readings from before a change of the stop and from
// after it can be taken together: what is printed now less what the metal sprang
// back. NaN where the shop does not know the material.
func (b *Book) Today(ctx context.Context, samples []store.Sample) ([]unit.Deg, error) {
	out := make([]unit.Deg, len(samples))
	type asked struct {
		store.CellKey
		angle unit.CentiDeg
	}
	printed := map[asked]unit.Deg{} // springback
	err := b.with(ctx, func(d *desk) error {
		h := b.kept.past
		for i, x := range samples {
			key, err := d.key(x)
			if err != nil {
				return err
			}
			k := asked{key, x.Target}
			if _, is := printed[k]; !is {
				printed[k] = unit.Deg(math.NaN())
				if f, known := b.printedNow(d, h, key, x.Target.Deg()); known {
					printed[k] = f.Springback(x.Target.Deg())
				}
			}
			out[i] = printed[k] - (x.StopBend.Deg() - x.Bend().Deg())
		}
		return nil
	})
	return out, err
}

// Asked lists those who are to be asked if the opening was logged in place of the
// bend angle, before their next bend.
func (b *Book) Asked(ctx context.Context) (all []learn.Reader, err error) {
	err = b.with(ctx, func(*desk) error {
		all = b.model.Asked()
		return nil
	})
	return all, err
}

// Disagree reports whether those who read angles, or their protractors, surely
// differ: then a gauge study is to be proposed.
func (b *Book) Disagree(ctx context.Context) (d learn.Disagreement, is bool, err error) {
	err = b.with(ctx, func(*desk) error {
		d, is = b.model.Disagree()
		return nil
	})
	return d, is, err
}

// Telling is the one further bend that would tell apart what the readings of a
// bend cannot.
func (b *Book) Telling(ctx context.Context, ask Ask) (t learn.Telling, err error) {
	err = b.with(ctx, func(d *desk) error {
		if bend, known := d.bend(ask.Cell, ask.Angle.Deg(), ask.Pack); known {
			t = b.model.Telling(bend)
		}
		return nil
	})
	return t, err
}

// Moved is a brake whose scale has moved and of which nobody has said yet what
// was done about it: the one thing to propose then.
type Moved struct {
	By    unit.Deg // in all: its zero is to be set back by so much
	First Alarm    // since it was last settled
}

// Moved lists them.
func (b *Book) Moved(ctx context.Context) (out []Moved, err error) {
	err = b.with(ctx, func(*desk) error {
		told := map[string]bool{}
		for i, a := range b.alarms {
			if i < b.quiet[a.Brake] || told[a.Brake] || b.model.Moved(a.Brake) == 0 {
				continue
			}
			told[a.Brake] = true
			out = append(out, Moved{b.model.Moved(a.Brake), a})
		}
		return nil
	})
	return out, err
}

// TakenBack are the decisions that take back, on the brake of an alarm, each
// change that was accepted from readings since its scale moved: to be kept when
// the scale is put right by hand.
func (b *Book) TakenBack(ctx context.Context, a Alarm, by string) (out []store.Decision, err error) {
	all, err := b.from.Decisions(ctx)
	if err != nil {
		return nil, err
	}
	h := historyOf(all)
	err = b.with(ctx, func(d *desk) error {
		for i := range all {
			k := all[i].Cell
			if now := h.now(k); k.Brake != a.Brake || now == nil || now.Seq != all[i].Seq {
				continue
			}
			for now := h.now(k); now != nil && now.UpTo >= a.Since; now = h.now(k) {
				back, err := b.goBack(d, h, Choice{Cell: k, Kind: store.DecisionReturned, By: by})
				if err != nil {
					return err
				}
				out, h = append(out, back), h.without(k)
			}
		}
		return nil
	})
	return out, err
}

// NewPack reports whether a pack is named and nothing was bent of it yet.
func (b *Book) NewPack(ctx context.Context, material, pack string) (fresh bool, err error) {
	err = b.with(ctx, func(*desk) error {
		fresh = pack != "" && !b.model.KnowsPack(material, pack)
		return nil
	})
	return fresh, err
}
