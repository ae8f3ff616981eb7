package figures

import (
	"slices"

	"brakeside/calc/bend"
	"brakeside/calc/notation"
	"brakeside/calc/stock"
)

// Adopt gives the shop with one more calibration. Older ones stay, as a record;
// of equal ones the newest counts.
func (s Shop) Adopt(c bend.Calibration) Shop {
	s.Calibrations = append(slices.Clone(s.Calibrations), c)
	return s
}

// Write gives the shop file. What was learned from the log is no part of it.
//
//	ReadShop(s.Write()) == s
func (s Shop) Write() ([]byte, error) {
	f := shopFile{Rule: s.Rule.ID}
	for _, m := range s.RuleFor {
		f.Rules = append(f.Rules, fileRule{m.Material, m.Rule.ID})
	}
	for _, m := range s.Materials {
		f.Materials = append(f.Materials, writtenMaterial(m))
	}
	for _, u := range s.Radii {
		f.Radii = append(f.Radii, fileRadius{u.Material, u.Bar, float64(u.Radius)})
	}
	for _, c := range s.Calibrations {
		w := fileCalibration{
			Material: c.Material, Thickness: float64(c.Thickness), Bar: c.Bar, K: c.K,
			Radius: [2]float64{float64(c.Radius[0]), float64(c.Radius[1])},
			By:     c.By, At: c.At, Source: c.Source,
		}
		if c.Angle > 0 {
			springback := float64(c.Springback)
			w.Angle, w.Springback = float64(c.Angle), &springback
		}
		f.Calibrations = append(f.Calibrations, w)
	}
	return notation.Write(f)
}

func writtenMaterial(m stock.Material) fileMaterial {
	magnetic, usual := m.Magnetic, float64(m.Usual)
	return fileMaterial{
		ID: m.ID, Like: m.RadiusRow, Words: m.Words, Family: m.Family, Magnetic: &magnetic, Series: m.Series.ID(),
		Density: m.Density, Modulus: float64(m.Modulus), Yield: float64(m.Yield), Strength: float64(m.Strength),
		Springback:  &fileSpringback{float64(m.Springback.Mean), float64(m.Springback.Low), float64(m.Springback.High)},
		UsualRadius: &usual, Source: m.Source,
	}
}
