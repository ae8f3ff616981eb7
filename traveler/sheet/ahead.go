package sheet

import (
	"context"

	"brakeside/calc/order"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/pdf"
)

// Ahead readies what the plan of a part does not change about its sheet: the
// type faces, and the codes of an address whose steps are not counted yet. It is
// for the time in which a part is planned, and goes on until the context ends or
// no sheet could need more. A sheet that was readied is the same as one that was
// not.
func Ahead(ctx context.Context, address string) {
	pdf.Ahead(draw.Regular, draw.Bold)
	_, err := page.HeadSymbol(address)
	for step := 1; step <= order.Most && err == nil && ctx.Err() == nil; step++ {
		_, err = page.StepSymbol(address, step)
	} // what cannot be encoded, whoever prints is told
}
