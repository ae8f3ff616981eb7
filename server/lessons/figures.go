package lessons

import (
	"context"

	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/server/store"
)

// ShopFigures is the name under which the shop's own file is kept among the
// materials: the rule it goes by, materials of its own, and what it measured.
const ShopFigures = "figures"

// FiguresOf reads what the shop has settled and measured; nothing when it has not
// kept anything yet.
func FiguresOf(ctx context.Context, from *store.Store) (figures.Shop, error) {
	kept, err := from.Find(ctx, store.Materials, ShopFigures)
	if fault.KindOf(err) == fault.Missing {
		return figures.Shop{}, nil
	}
	if err != nil {
		return figures.Shop{}, err
	}
	return figures.ReadShop(kept.JSON)
}
