package why

import (
	"fmt"

	"brakeside/calc/notation"
	"brakeside/calc/process"
)

// thinner looks for the thickest sheet of the same material, below the one that is
// drawn, that would do. A part drawn in gauges or inches stays in gauges.
func (h *healer) thinner(c *conflict) {
	sheet, byGauge := h.blank.Sheet, h.Part.Gauge != "" || h.Part.Inch
	wares := sheet.Material.Thinner(sheet.Thickness, byGauge)
	h.least(c, len(wares), func(steps int) *change {
		ware := wares[steps-1]
		by := &change{kind: process.StockCure, of: process.OfPart}
		by.words = fmt.Sprintf("sheet of %s mm instead of %s", ware.Thickness.Text(2), sheet.Thickness.Text(2))
		if h.Part.Gauge == "" {
			by.patch = notation.Patch{{Op: notation.Replace, Path: "/thickness", Value: h.Part.Figure(ware.Thickness)}}
			return by
		}
		by.words = fmt.Sprintf("sheet of %s gauge (%s mm) instead of %s (%s)", ware.Gauge, ware.Thickness.Text(2),
			h.Part.Gauge, sheet.Thickness.Text(2))
		by.patch = notation.Patch{{Op: notation.Replace, Path: "/gauge", Value: ware.Gauge}}
		return by
	})
}
