package review

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/spc"
	"brakeside/calc/unit"
	"brakeside/server/lessons"
	"brakeside/server/say"
	"brakeside/server/store"
	"brakeside/server/web"
)

// The study that the form asks for: two people, three bends, twice each.
const (
	studyPeople = 2
	studyBends  = 3
	studyTurns  = 2
)

type measuringView struct {
	Frame   web.Frame
	Trouble string
	People  []studyPerson
	Tool    string
	Turns   []int
	Results []studyLine
	Most    string
}

type studyPerson struct {
	Name  string // of the field
	Value string
	Label string
	Rows  []studyRow
}

type studyRow struct {
	Bend   int
	Fields []web.Pair
}

type studyLine struct {
	When, Tool, People, Verdict string
	Good                        bool
	Facts                       []web.Pair
}

// MeasuringPage checks the measuring itself: how much two people and a
// protractor differ on the same bends.
func (s *Section) MeasuringPage(w http.ResponseWriter, r *http.Request) error {
	return s.showMeasuring(w, r, web.Filled{Values: url.Values{}})
}

func (s *Section) showMeasuring(w http.ResponseWriter, r *http.Request, f web.Filled) error {
	view := measuringView{Frame: s.Frame(r, "review"), Tool: f.Values.Get("tool"), Most: unit.Deg(spc.MostAngleNoise).Text(1)}
	if f.Fail != nil {
		_, view.Trouble = web.MessageOf(f.Fail)
	}
	for turn := range studyTurns {
		view.Turns = append(view.Turns, turn+1)
	}
	for person := range studyPeople {
		name := fmt.Sprintf("person-%d", person+1)
		p := studyPerson{Name: name, Value: f.Values.Get(name), Label: []string{"First person", "Second person"}[person]}
		for bend := range studyBends {
			row := studyRow{Bend: bend + 1}
			for turn := range studyTurns {
				field := studyField(person, bend, turn)
				row.Fields = append(row.Fields, web.Pair{Name: field, Value: f.Values.Get(field)})
			}
			p.Rows = append(p.Rows, row)
		}
		view.People = append(view.People, p)
	}
	studies, err := s.Store.Studies(r.Context())
	if err != nil {
		return err
	}
	for _, study := range studies {
		view.Results = append(view.Results, s.studyOf(study))
	}
	return s.Show(w, web.Page{Status: web.FormStatus(f.Fail), Name: "owner/measuring", View: view})
}

func studyField(person, bend, turn int) string {
	return fmt.Sprintf("m-%d-%d-%d", person+1, bend+1, turn+1)
}

// verdicts word what a study comes to.
var verdicts = map[spc.GaugeVerdict]string{
	spc.Good: "Good: a single reading can be trusted.", spc.Usable: "Usable: trust the mean of several readings, not a single one.",
	spc.Noise: "Too much: readings like these teach nothing. Look at the protractor, at where it is laid on and at how it is read.",
}

func (s *Section) studyOf(study store.Study) studyLine {
	people := make([]string, len(study.People))
	for i, name := range study.People {
		people[i] = say.Typed(name)
	}
	line := studyLine{When: s.When(study.At), Tool: study.Tool, People: strings.Join(people, " and ")}
	result, err := lessons.StudyResult(study)
	if err != nil {
		_, line.Verdict = web.MessageOf(err)
		return line
	}
	verdict := result.Judge(spc.MostAngleNoise)
	line.Verdict, line.Good = verdicts[verdict], verdict != spc.Noise
	degrees := func(x float64) string { return unit.Deg(x).Text(2) }
	share := result.ToleranceShare(spc.Tolerance{Lower: -1, Upper: 1})
	line.Facts = web.Pairs(
		"One person again",
		degrees(result.Repeatability)+"° ("+degrees(result.Interval.Low)+" to "+degrees(result.Interval.High)+", 95 %)",
		"From person to person", degrees(result.Reproducibility)+"°",
		"Both together", degrees(result.Measuring)+"°",
		"From bend to bend", degrees(result.BendToBend)+"°",
		"Of a tolerance of ± 1°", fmt.Sprintf("%.0f %%", 100*share),
		"Readings", fmt.Sprint(result.People*result.Bends*result.Turns),
	)
	return line
}

// AddStudy keeps a study.
func (s *Section) AddStudy(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	study, err := typedStudy(form)
	if err == nil {
		err = s.Store.AddStudy(r.Context(), study)
	}
	if web.IsRefusal(err) {
		return s.showMeasuring(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	return web.GoOn(w, r, "/review/measuring", web.SaidStudy)
}

// typedStudy reads the form: every field of it filled in, two different people.
func typedStudy(form url.Values) (store.Study, error) {
	study := store.Study{Tool: form.Get("tool")}
	if len([]rune(study.Tool)) > 60 {
		return study, fault.New(fault.Invalid, "tool", "Name the protractor in at most 60 letters.")
	}
	for person := range studyPeople {
		name := form.Get(fmt.Sprintf("person-%d", person+1))
		if n := len([]rune(name)); n == 0 || n > 20 {
			return study, fault.New(fault.Invalid, "person", "Give the initials of both people.")
		}
		if person > 0 && strings.EqualFold(name, study.People[0]) {
			return study, fault.New(fault.Invalid, "person", "Two different people are needed: the study compares them.")
		}
		study.People = append(study.People, name)
	}
	for person, name := range study.People {
		bends, err := typedBends(form, person)
		if err != nil {
			return study, fault.New(fault.Invalid, "m", "%s, %s: give the angle in degrees, 0 to 180.", say.Typed(name), err)
		}
		study.Readings = append(study.Readings, bends)
	}
	return study, nil
}

// typedBends reads what one person measured; the error names the field.
func typedBends(form url.Values, person int) ([][]unit.CentiDeg, error) {
	var bends [][]unit.CentiDeg
	for bend := range studyBends {
		var turns []unit.CentiDeg
		for turn := range studyTurns {
			a, err := typedAngle("m", form.Get(studyField(person, bend, turn)))
			if err != nil {
				return nil, fmt.Errorf("bend %d, reading %d", bend+1, turn+1)
			}
			turns = append(turns, a.CentiDeg())
		}
		bends = append(bends, turns)
	}
	return bends, nil
}
