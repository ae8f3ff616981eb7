package lessons

import (
	"context"

	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/server/store"
)

// FiguresFor gives the shop's figures with what a traveler for one brake is
// printed with, cut from a named pack or from any, see Printed.
func (b *Book) FiguresFor(ctx context.Context, brake, pack string) (figures.Shop, error) {
	shop, err := b.figures(ctx)
	if err != nil {
		return shop, err
	}
	shop.Learned, err = b.Printed(ctx, brake, pack)
	return shop, err
}

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
