package figures_test

import (
	"fmt"

	"brakeside/calc/figures"
	"brakeside/calc/part"
)

func ExampleShop_Draft() {
	p, _ := part.Read([]byte(`{"number":"RB-9","material":"304","gauge":"18","profile":{"length":400,"legs":[40,80,40],"bends":[90,90]}}`))
	plan, err := figures.Shop{}.Draft(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f mm, blank %.2f x %.2f mm, %.3f kg\n", plan.Blank.Sheet.Thickness, plan.Blank.Width, plan.Blank.Height, plan.Weight.Mass)
	for _, b := range plan.Bends {
		fmt.Printf("%s: K %.2f, deduction %.2f, springs back %.1f\n", b.ID, b.Bend.K, b.Deduction, b.Springback)
	}
	fmt.Printf("balances %.1f mm above the outside of the web\n", plan.Weight.Part.Z)
	// Output:
	// 1.270 mm, blank 400.00 x 154.60 mm, 0.628 kg
	// b1: K 0.33, deduction 2.70, springs back 4.0
	// b2: K 0.33, deduction 2.70, springs back 4.0
	// balances 10.7 mm above the outside of the web
}
