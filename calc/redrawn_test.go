package calc_test

import (
	"os"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
)

// The same part costs the same however it is drawn: legs from the other end, seen
// from the other side, the blank turned, under other names, in inches.
func TestRedrawnCostsTheSame(t *testing.T) {
	suite.Unraced(t)
	k := suite.Brake(t)
	for name := range suite.Verdicts(t) {
		costsTheSame(t, suite.Part(t, name), k)
	}
	for _, file := range []string{"parts/tab-plate", "parts/gusset", "parts/hat-rail", "parts/six-bend", "cases/29-flatlongnames", "cases/flat-64", "cases/28-stairs", "cases/32-threesided"} {
		text, err := os.ReadFile("../testdata/" + file + ".json")
		if err != nil {
			t.Fatal(err)
		}
		costsTheSame(t, suite.Read(t, text), k)
	}
	drawn := 0
	rapid.Check(t, func(t *rapid.T) {
		if drawn++; drawn <= 40 { // more take too long
			costsTheSame(t, anyPart(t), k)
		}
	})
}

// costsTheSame plans a part and what is drawn otherwise of it, ten pieces of each.
func costsTheSame(t suite.Failer, p part.Part, k *brake.Brake) {
	t.Helper()
	one, _ := quickly(t, p, k, calc.Options{Quantity: 10})
	if one == nil {
		return
	}
	for how, other := range redrawn(p) {
		again, _ := quickly(t, other, k, calc.Options{Quantity: 10})
		if again == nil || dearer(one, again) || dearer(again, one) {
			t.Errorf("%s %s: feasible %v for %+v, as it was drawn %v for %+v", p.Number, how, again != nil && again.Feasible, costOf(again), one.Feasible, costOf(one))
		}
	}
}

// redrawn lists how else a part can be drawn.
func redrawn(p part.Part) map[string]part.Part {
	out := map[string]part.Part{"in inches": changed(p, func(v unit.MM) unit.MM { return unit.MM(float64(v)/25.4) * unit.PerInch })}
	same := func(v unit.MM) unit.MM { return v }
	switch p.Form() {
	case part.ProfileForm:
		reversed, behind := changed(p, same), changed(p, same)
		slices.Reverse(reversed.Profile.Legs)
		slices.Reverse(reversed.Profile.Bends)
		for i := range behind.Profile.Bends {
			behind.Profile.Bends[i] *= -1
		}
		out["from its other end"], out["from behind"] = reversed, behind
	case part.FlatForm:
		for angle := 90; angle < 360; angle += 90 {
			out["turned by "+unit.Deg(angle).Text(0)] = turnedBlank(changed(p, same), angle/90)
		}
		named := changed(p, same)
		renamed(&named)
		out["under other names"] = named
	case part.TrayForm:
		around := changed(p, same)
		w := around.Tray.Walls
		around.Tray.Walls = map[part.Side][]part.Wall{}
		for from, to := range map[part.Side]part.Side{part.Left: part.Right, part.Right: part.Left, part.Front: part.Back, part.Back: part.Front} {
			if w[from] != nil {
				around.Tray.Walls[to] = w[from]
			}
		}
		if len(p.Holes)+len(p.Cutouts) == 0 { // they are placed on named faces
			out["turned by 180"] = around
		}
	}
	return out
}

// changed copies a part with all its lengths changed.
func changed(p part.Part, length func(unit.MM) unit.MM) part.Part {
	return copied(reflect.ValueOf(p), length).Interface().(part.Part)
}

func copied(v reflect.Value, length func(unit.MM) unit.MM) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	out.Set(v)
	switch {
	case v.Type() == reflect.TypeFor[unit.MM]():
		out.SetFloat(float64(length(unit.MM(v.Float()))))
	case v.Kind() == reflect.Pointer && !v.IsNil():
		out.Set(reflect.New(v.Type().Elem()))
		out.Elem().Set(copied(v.Elem(), length))
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			if out.Field(i).CanSet() {
				out.Field(i).Set(copied(v.Field(i), length))
			}
		}
	case v.Kind() == reflect.Slice && !v.IsNil():
		out.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
		for i := range v.Len() {
			out.Index(i).Set(copied(v.Index(i), length))
		}
	case v.Kind() == reflect.Array:
		for i := range v.Len() {
			out.Index(i).Set(copied(v.Index(i), length))
		}
	case v.Kind() == reflect.Map && !v.IsNil():
		out.Set(reflect.MakeMap(v.Type()))
		for _, key := range v.MapKeys() {
			out.SetMapIndex(key, copied(v.MapIndex(key), length))
		}
	}
	return out
}

// turnedBlank turns the drawing of a blank by quarters.
func turnedBlank(p part.Part, quarters int) part.Part {
	for range quarters {
		for i := range p.Flat.Faces {
			for k, c := range p.Flat.Faces[i].Outline {
				p.Flat.Faces[i].Outline[k] = [2]unit.MM{-c[1], c[0]}
			}
		}
		for i := range p.Flat.Bends {
			for k, c := range p.Flat.Bends[i].Line {
				p.Flat.Bends[i].Line[k] = [2]unit.MM{-c[1], c[0]}
			}
		}
		for i := range p.Holes {
			p.Holes[i].At = [2]unit.MM{-p.Holes[i].At[1], p.Holes[i].At[0]}
		}
		for i := range p.Cutouts {
			for k, c := range p.Cutouts[i].Outline {
				p.Cutouts[i].Outline[k] = [2]unit.MM{-c[1], c[0]}
			}
		}
	}
	return p
}

// renamed gives the faces and bends of a flat part names that sort the other way, and
// lists both the other way round.
func renamed(p *part.Part) {
	name := func(id *string) {
		text := []byte(*id)
		for i, c := range text {
			if c >= 'a' && c <= 'z' {
				text[i] = 'a' + 'z' - c
			}
		}
		*id = "x" + string(text)
	}
	for i := range p.Flat.Faces {
		name(&p.Flat.Faces[i].ID)
	}
	for i := range p.Flat.Bends {
		name(&p.Flat.Bends[i].ID)
		name(&p.Flat.Bends[i].Between[0])
		name(&p.Flat.Bends[i].Between[1])
	}
	for i := range p.Flat.Joined {
		name(&p.Flat.Joined[i][0])
		name(&p.Flat.Joined[i][1])
	}
	for i := range p.Holes {
		name(&p.Holes[i].Face)
	}
	for i := range p.Cutouts {
		name(&p.Cutouts[i].Face)
	}
	slices.Reverse(p.Flat.Faces)
	slices.Reverse(p.Flat.Bends)
}
