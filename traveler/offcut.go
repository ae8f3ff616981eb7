package traveler

import (
	"fmt"

	"brakeside/calc/process"
)

// sayOffcut asks for a bend on an offcut before the first piece of a pack that
// nothing was bent from yet: springback goes with the pack.
func (t *Traveler) sayOffcut() {
	if !t.NewPack || t.Pack == "" {
		return
	}
	first := t.Steps[0]
	t.Cautions = append(t.Cautions, Caution{Level: string(process.Notice), Text: fmt.Sprintf(
		"Lot %s is new: bend an offcut of it to %s° first (%s, stop %s), and log what it measures on the phone.",
		t.Pack, first.Target.Text(1), first.Bar, first.Stop.Text(1))})
}
