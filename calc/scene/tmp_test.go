package scene

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/figures"
	"brakeside/calc/geom"
	"brakeside/calc/part"
)

func TestTmp(t *testing.T) {
	data, _ := os.ReadFile("/work/shared/suite/brake.json")
	k, err := brake.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	_ = figures.Shop{}
	for _, name := range strings.Fields(os.Getenv("PARTS")) {
		data, _ := os.ReadFile(name)
		p, err := part.Read(data)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := calc.Work(p, k, calc.Options{})
		if err != nil {
			t.Fatal(err)
		}
		base := name[strings.LastIndex(name, "/")+1:]
		began := time.Now()
		n := 0
		pics := []Picture{Finished(plan.Blank, nil)}
		for i := range plan.Steps {
			pics = append(pics, Bench(plan, i+1), Lay(plan, i+1))
		}
		for _, x := range pics {
			n += len(x.Strokes)
		}
		fmt.Println(name, len(pics), n, time.Since(began))
		for i, x := range pics {
			os.WriteFile(fmt.Sprintf("/tmp/sc/%s-%d.svg", base, i), []byte(svgOf(x)), 0o644)
		}
	}
}

func svgOf(x Picture) string {
	var all []geom.Point2
	for _, s := range x.Strokes {
		all = append(all, s.From, s.To)
	}
	low, high := geom.Bounds(all...)
	k := 90 / max(high.X-low.X, high.Y-low.Y)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%.0f" height="%.0f" viewBox="-1 -1 %.2f %.2f"><rect x="-1" y="-1" width="200" height="200" fill="white"/>`, 500.0, 500*(high.Y-low.Y)/(high.X-low.X), k*(high.X-low.X)+2, k*(high.Y-low.Y)+2)
	w := map[Kind]string{Metal: "0.5", Swing: "1.1", Tool: "0.35", Brake: "0.25", Way: "0.7", Shade: "0.3", Nose: "0.8", Gauge: "1.2"}
	for _, s := range x.Strokes {
		fmt.Fprintf(&b, `<line x1="%.2f" y1="%.2f" x2="%.2f" y2="%.2f" stroke="%s" stroke-width="%s" stroke-linecap="round"/>`, k*(s.From.X-low.X), k*(high.Y-s.From.Y), k*(s.To.X-low.X), k*(high.Y-s.To.Y), map[bool]string{true: "#777", false: "black"}[s.Kind == Tool || s.Kind == Brake || s.Kind == Shade], w[s.Kind])
	}
	for _, s := range x.Spots {
		if s.Seen && s.What == FaceSpot {
			fmt.Fprintf(&b, `<text x="%.2f" y="%.2f" font-size="3" text-anchor="middle">%s</text>`, k*(s.At.X-low.X), k*(high.Y-s.At.Y)+1, s.Name)
		}
	}
	b.WriteString("</svg>")
	return b.String()
}
