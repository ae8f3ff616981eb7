package figures

import (
	"fmt"
	"regexp"
	"strings"

	"brakeside/calc/bend"
	"brakeside/calc/notation"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// shopFile is the shop file as it is written, see the README.
type shopFile struct {
	Units        string            `json:"units,omitzero"`
	Rule         string            `json:"rule,omitzero"`
	Rules        []fileRule        `json:"rules,omitzero"`
	Materials    []fileMaterial    `json:"materials,omitzero"`
	Radii        []fileRadius      `json:"radii,omitzero"`
	Calibrations []fileCalibration `json:"calibrations,omitzero"`
}

type fileRule struct {
	Material string `json:"material"`
	Rule     string `json:"rule"`
}

type fileRadius struct {
	Material string  `json:"material,omitzero"`
	Bar      string  `json:"bar,omitzero"`
	Radius   float64 `json:"radius"`
}

type fileMaterial struct {
	ID          string          `json:"id"`
	Like        string          `json:"like,omitzero"`
	Words       string          `json:"words,omitzero"`
	Family      string          `json:"family,omitzero"`
	Magnetic    *bool           `json:"magnetic,omitzero"`
	Series      string          `json:"gauge_series,omitzero"`
	Density     float64         `json:"density,omitzero"`
	Modulus     float64         `json:"modulus,omitzero"`
	Yield       float64         `json:"yield,omitzero"`
	Strength    float64         `json:"strength,omitzero"`
	Springback  *fileSpringback `json:"springback,omitzero"`
	UsualRadius *float64        `json:"usual_radius,omitzero"`
	Source      string          `json:"source"`
}

type fileSpringback struct {
	Mean float64 `json:"mean"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

type fileCalibration struct {
	Material   string     `json:"material"`
	Thickness  float64    `json:"thickness"`
	Radius     [2]float64 `json:"radius"`
	Bar        string     `json:"bar,omitzero"`
	K          float64    `json:"k,omitzero"`
	Deduction  *float64   `json:"deduction,omitzero"`
	Angle      float64    `json:"angle,omitzero"`
	Springback *float64   `json:"springback,omitzero"`
	By         string     `json:"by,omitzero"`
	At         string     `json:"at,omitzero"`
	Source     string     `json:"source"`
}

// What a shop file may hold at the most; more is a slip or an attack.
const (
	mostMaterials    = 1000
	mostCalibrations = 20_000
)

// ReadShop reads a shop file: the rule for the K-factor, materials of the
// shop's own, and what it has measured. Every refusal names the line, the
// column and the field, what is wrong and what would be right.
func ReadShop(data []byte) (Shop, error) {
	var f shopFile
	places, err := notation.Read(data, &f)
	if err != nil {
		return Shop{}, err
	}
	r := &shopReader{places: places, scale: 1}
	s := r.shop(f)
	return s, r.err
}

// shopReader turns the file into a Shop and keeps the first refusal.
type shopReader struct {
	places notation.Places
	scale  unit.MM // millimetres in one unit of the file
	err    error
}

func (r *shopReader) refuse(pointer, format string, values ...any) {
	if r.err == nil {
		r.err = r.places.Refuse(pointer, format, values...)
	}
}

func (r *shopReader) shop(f shopFile) Shop {
	switch f.Units {
	case "", "mm":
	case "in":
		r.scale = unit.PerInch
	default:
		r.refuse("/units", "%q is not a unit here; write \"mm\" or \"in\"", f.Units)
	}
	if len(f.Materials) > mostMaterials || len(f.Calibrations) > mostCalibrations {
		r.refuse("", "there are %d materials and %d calibrations; at most %d and %d are read",
			len(f.Materials), len(f.Calibrations), mostMaterials, mostCalibrations)
		return Shop{}
	}
	var s Shop
	known := map[string]bool{}
	for i, m := range f.Materials {
		pointer := fmt.Sprintf("/materials/%d", i)
		if known[m.ID] || m.ID == "" || len(m.ID) > 60 {
			r.refuse(pointer+"/id", "%q: every material needs a name of its own, of at most 60 letters", m.ID)
		}
		known[m.ID] = true
		s.Materials = append(s.Materials, r.material(pointer, m))
	}
	if f.Rule != "" {
		s.Rule = r.rule("/rule", f.Rule)
	}
	for i, m := range f.Rules {
		pointer := fmt.Sprintf("/rules/%d", i)
		r.materialOrFamily(pointer, m.Material, s)
		s.RuleFor = append(s.RuleFor, bend.MaterialRule{Material: m.Material, Rule: r.rule(pointer+"/rule", m.Rule)})
	}
	for i, u := range f.Radii {
		s.Radii = append(s.Radii, r.usualRadius(fmt.Sprintf("/radii/%d", i), u, s))
	}
	for i, c := range f.Calibrations {
		s.Calibrations = append(s.Calibrations, r.calibration(fmt.Sprintf("/calibrations/%d", i), c, s))
	}
	return s
}

func (r *shopReader) materialOrFamily(pointer, name string, s Shop) {
	if _, err := s.Material(name); err != nil && !isFamily(name) {
		r.refuse(pointer+"/material", "%q is neither a material nor a family; the families are %s", name, strings.Join(families, ", "))
	}
}

// mostRadius is the largest inside radius a bar with an edge can leave.
const mostRadius unit.MM = 50

func (r *shopReader) usualRadius(pointer string, u fileRadius, s Shop) bend.UsualRadius {
	if u.Material != "" {
		r.materialOrFamily(pointer, u.Material, s)
	}
	radius := unit.MM(u.Radius) * r.scale
	if !(radius > 0 && radius <= mostRadius) {
		r.refuse(pointer+"/radius", "%v is no inside radius; write more than 0 and at most %s mm", u.Radius, mostRadius.Text(0))
	}
	return bend.UsualRadius{Material: u.Material, Bar: u.Bar, Radius: radius}
}

func (r *shopReader) rule(pointer, name string) bend.Rule {
	rule, known := bend.FindRule(name)
	if !known {
		r.refuse(pointer, "no rule is called %q; the rules are %s", name, strings.Join(RuleNames(), ", "))
	}
	return rule
}

// RuleNames lists the rules for the K-factor as they are written in shop files
// and on the command line.
func RuleNames() []string {
	var names []string
	for _, rule := range bend.Rules() {
		names = append(names, rule.ID)
	}
	return names
}

// families are the kinds of metal the brakes tell apart.
var families = []string{"mild-steel", "stainless", "aluminium", "copper"}

func isFamily(word string) bool {
	for _, f := range families {
		if f == word {
			return true
		}
	}
	return false
}

// material reads a material of the shop's own. What it leaves out is that of
// the built-in material it is like.
func (r *shopReader) material(pointer string, f fileMaterial) stock.Material {
	m := stock.Material{}
	if f.Like != "" {
		like, err := stock.Find(f.Like)
		if err != nil {
			r.refuse(pointer+"/like", "no built-in material is called %q", f.Like)
		}
		m, m.RadiusRow = like, f.Like
	}
	m.ID, m.Source = f.ID, f.Source
	if len(f.Source) < 3 {
		r.refuse(pointer+"/source", "say where the figures come from, for example \"mill sheet of 3 May\"")
	}
	for _, t := range []struct {
		into *string
		from string
	}{{&m.Words, f.Words}, {&m.Family, f.Family}} {
		if t.from != "" {
			*t.into = t.from
		}
	}
	if f.Magnetic != nil {
		m.Magnetic = *f.Magnetic
	}
	r.figures(pointer, f, &m)
	r.whole(pointer, m)
	return m
}

func (r *shopReader) figures(pointer string, f fileMaterial, m *stock.Material) {
	if f.Series != "" {
		series, known := stock.SeriesNamed(f.Series)
		if !known {
			r.refuse(pointer+"/gauge_series", "no gauge series is called %q; the series are %s", f.Series, strings.Join(stock.SeriesIDs(), ", "))
		}
		m.Series = series
	}
	if f.Density != 0 {
		m.Density = f.Density
	}
	for _, s := range []struct {
		into *unit.MPa
		from float64
	}{{&m.Modulus, f.Modulus}, {&m.Yield, f.Yield}, {&m.Strength, f.Strength}} {
		if s.from != 0 {
			*s.into = unit.MPa(s.from)
		}
	}
	if s := f.Springback; s != nil {
		m.Springback = stock.Springback{Mean: unit.Deg(s.Mean), Low: unit.Deg(s.Low), High: unit.Deg(s.High)}
	}
	if f.UsualRadius != nil {
		m.Usual = stock.Multiple(*f.UsualRadius)
	}
}

// whole refuses a material with a figure missing or out of all reason.
func (r *shopReader) whole(pointer string, m stock.Material) {
	between := func(field string, v, low, high float64) {
		if !(v >= low && v <= high) {
			r.refuse(pointer+"/"+field, "%v is not possible for sheet metal; give %v to %v, or the built-in material it is like", v, low, high)
		}
	}
	if !isFamily(m.Family) {
		r.refuse(pointer+"/family", "%q is no family; the families are %s", m.Family, strings.Join(families, ", "))
	}
	if m.Words == "" || len(m.Words) > 200 {
		r.refuse(pointer+"/words", "say in words what it is, in at most 200 letters")
	}
	between("density", m.Density, 500, 25_000)
	between("modulus", float64(m.Modulus), 1000, 500_000)
	between("strength", float64(m.Strength), 10, 5000)
	between("yield", float64(m.Yield), 5, float64(m.Strength))
	between("usual_radius", float64(m.Usual), 0, 100)
	s := m.Springback
	between("springback/low", float64(s.Low), -1, 60)
	between("springback/mean", float64(s.Mean), float64(s.Low), 60)
	between("springback/high", float64(s.High), float64(s.Mean), 60)
}

// calibration reads what was measured once. A deduction is turned into the
// K-factor it means at the middle of the band of radii and at the angle given,
// 90 when none is.
func (r *shopReader) calibration(pointer string, f fileCalibration, s Shop) bend.Calibration {
	c := bend.Calibration{
		Material: f.Material, Thickness: r.length(pointer+"/thickness", f.Thickness), Bar: f.Bar, K: f.K,
		Angle: unit.Deg(f.Angle), By: f.By, At: f.At, Source: f.Source,
		Radius: [2]unit.MM{unit.MM(f.Radius[0]) * r.scale, unit.MM(f.Radius[1]) * r.scale},
	}
	if _, err := s.Material(c.Material); err != nil {
		r.refuse(pointer+"/material", "%s", strings.TrimPrefix(err.Error(), "material: "))
	}
	if !(c.Radius[0] >= 0 && c.Radius[0] <= c.Radius[1] && c.Radius[1] <= 10_000) {
		r.refuse(pointer+"/radius", "%v to %v is no band of inside radii; give the least, then the greatest", f.Radius[0], f.Radius[1])
	}
	if f.Angle != 0 && !(c.Angle > 0 && c.Angle < 180) {
		r.refuse(pointer+"/angle", "%v is no bend angle; give more than 0 and less than 180", f.Angle)
	}
	r.measured(pointer, f, &c)
	r.signed(pointer, c)
	return c
}

// measured reads the figures of a calibration.
func (r *shopReader) measured(pointer string, f fileCalibration, c *bend.Calibration) {
	if f.Deduction != nil && f.K != 0 {
		r.refuse(pointer+"/deduction", "give the K-factor or the deduction, not both")
	}
	if (f.Deduction != nil || f.Springback != nil) && f.Angle == 0 {
		c.Angle = 90
	}
	if f.Deduction != nil && r.err == nil {
		b := bend.Bend{Angle: c.Angle, Radius: (c.Radius[0] + c.Radius[1]) / 2, Thickness: c.Thickness}
		c.K = b.KOfDeduction(unit.MM(*f.Deduction) * r.scale)
		if !(c.K > 0 && c.K <= 1) {
			r.refuse(pointer+"/deduction", "%v makes a K-factor of %.2f, which is not between 0 and 1; it is both outside legs less the blank",
				*f.Deduction, c.K)
		}
	} else if f.K != 0 && !(f.K > 0 && f.K <= 1) {
		r.refuse(pointer+"/k", "%v is not a K-factor; give more than 0 and at most 1", f.K)
	}
	if f.Springback == nil {
		c.Angle = 0
		if f.K == 0 && f.Deduction == nil {
			r.refuse(pointer, "nothing was measured; give \"k\", \"deduction\" or \"springback\"")
		}
		return
	}
	c.Springback = unit.Deg(*f.Springback)
	if !(c.Springback >= -5 && c.Springback <= 60) {
		r.refuse(pointer+"/springback", "%v degrees is no springback; it is the stop less the angle measured, both as bend angles", *f.Springback)
	}
}

var dated = regexp.MustCompile(`^\d{4}-\d\d-\d\d(T\d\d:\d\d:\d\dZ)?$`)

// signed asks for who, when and how.
func (r *shopReader) signed(pointer string, c bend.Calibration) {
	for _, t := range []struct{ field, text string }{{"bar", c.Bar}, {"by", c.By}, {"source", c.Source}} {
		if len(t.text) > 200 {
			r.refuse(pointer+"/"+t.field, "has %d letters; at most 200 are kept", len(t.text))
		}
	}
	if c.Source == "" {
		r.refuse(pointer+"/source", "say how it was measured, for example \"trial strip 100 mm\"")
	}
	if c.At != "" && !dated.MatchString(c.At) {
		r.refuse(pointer+"/at", "%q is no date; write it like 2026-05-04 or 2026-05-04T09:30:00Z", c.At)
	}
}

// length reads a size that must be above zero.
func (r *shopReader) length(pointer string, v float64) unit.MM {
	if !(v > 0) || v > 1000 {
		r.refuse(pointer, "%v is not a size; give a number above 0", v)
	}
	return unit.MM(v) * r.scale
}
