package lessons

import (
	"brakeside/calc/bend"
	"brakeside/calc/learn"
	"brakeside/calc/spc"
	"brakeside/server/store"
)

// basics is what a model begins with before the log.
type basics struct {
	strips  []bend.Calibration
	studies []study
}

// study is what a gauge study found of a tool.
type study struct {
	tool   string
	result spc.GaugeResult
}

// basics reads what a model begins with. A study that cannot be worked out tells
// nothing.
func (d *desk) basics() (out basics, err error) {
	all, err := d.from.Studies(d.ctx)
	if err != nil {
		return out, err
	}
	for i := len(all) - 1; i >= 0; i-- { // the oldest first: the newest of a tool holds
		if result, err := StudyResult(all[i]); err == nil {
			out.studies = append(out.studies, study{all[i].Tool, result})
		}
	}
	out.strips = d.shop.Calibrations
	return out, nil
}

// StudyResult works a kept gauge study out.
func StudyResult(s store.Study) (spc.GaugeResult, error) {
	readings := make([][][]float64, len(s.Readings))
	for i, bends := range s.Readings {
		for _, turns := range bends {
			var values []float64
			for _, v := range turns {
				values = append(values, float64(v.Deg()))
			}
			readings[i] = append(readings[i], values)
		}
	}
	return spc.Study{Readings: readings}.Analyze()
}

// strip tells a model of the trial strip of a bend, if there is one.
func (d *desk) strip(m *learn.Model, b learn.Bend) {
	if degrees, from, found := d.shop.Strip(b.Making); found {
		m.Strip(b, degrees, from)
	}
}
