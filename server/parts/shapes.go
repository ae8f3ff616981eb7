package parts

import (
	"fmt"
	"net/url"
	"strings"

	"brakeside/server/entry"
	"brakeside/server/shelf"
	"brakeside/server/web"
)

// partGroups lists the fields of a part's form.
func partGroups(form url.Values) []web.Group {
	unitWord := unitsOf(form)
	groups := partAndSheet(form, unitWord)
	groups[1].Fields = append(groups[1].Fields, web.Field{
		Name: "sizes", Label: "Sizes are", Choices: web.Choices("", "outside", "outside", "inside", "inside"),
	})
	switch kind := entry.KindOf(form.Get("kind")); {
	case kind.Tray():
		groups = append(groups, trayGroups(form, unitWord)...)
	case kind.ID == entry.JogKind:
		groups = append(groups, jogGroup(unitWord), endsGroup(unitWord))
	default:
		groups = append(groups, profileGroup(entry.Legs(form), unitWord), endsGroup(unitWord))
	}
	groups = append(groups, web.Group{Heading: "Holes", More: form.Get(entry.HolesField) == "", Fields: []web.Field{{
		Name: entry.HolesField, Label: "One a line: face, from its left, from its lower edge, diameter", Lines: 4,
		Hint: "the faces are named in the drawing, such as base 20 30 6.5",
	}}})
	more := moreGroup(unitWord)
	more.Fields = append(more.Fields, web.Field{
		Name: "over_90", Label: "Sizes past 90° run to",
		Choices: web.Choices("", "apex", "the apex", "tangent", "the outside tangent"),
	})
	return append(groups, more)
}

func profileGroup(legs int, unitWord string) web.Group {
	g := web.Group{Heading: "Shape", Fields: []web.Field{
		{Name: "profile.length", Label: "Length along the bends", Unit: unitWord, Figure: true, Needed: true},
	}}
	for i := range legs {
		if i > 0 {
			g.Fields = append(g.Fields, angleFields(fmt.Sprintf("profile.bends[%d]", i-1), fmt.Sprintf("Bend %d", i))...)
		}
		g.Fields = append(g.Fields, web.Field{
			Name: fmt.Sprintf("profile.legs[%d]", i), Label: fmt.Sprintf("Leg %d", i+1), Unit: unitWord, Figure: true, Needed: true,
		})
	}
	return g
}

// jogGroup are the fields of a jog: two feet and the distance between their planes.
func jogGroup(unitWord string) web.Group {
	fields := []web.Field{
		{Name: "profile.length", Label: "Length along the bends", Unit: unitWord, Figure: true, Needed: true},
		{Name: "profile.legs[0]", Label: "First foot", Unit: unitWord, Figure: true, Needed: true},
		{
			Name: entry.JogOffset, Label: "Offset", Unit: unitWord, Figure: true, Needed: true,
			Hint: "from a face of one foot to the same face of the other",
		},
	}
	fields = append(fields, angleFields(entry.JogAngle, "Both bends")...)
	fields[len(fields)-1].Label = "The first is folded"
	return web.Group{Heading: "Shape", Fields: append(fields,
		web.Field{Name: "profile.legs[1]", Label: "Second foot", Unit: unitWord, Figure: true, Needed: true})}
}

// endsGroup are the fields of what is at the two ends of a profile.
func endsGroup(unitWord string) web.Group {
	var g web.Group
	g.Heading, g.More = "Edges: lip or hem at the ends", true
	for end, words := range []string{"First edge", "Last edge"} {
		name := entry.ProfileEdge(end)
		g.Fields = append(g.Fields, edgeFields(name, name+".leg", name+".angle", words, unitWord)...)
	}
	return g
}

// edgeFields are what is at an edge, how wide it is and at what angle a lip stands.
func edgeFields(kind, size, angle, words, unitWord string) []web.Field {
	return []web.Field{
		{Name: kind, Label: words, Choices: web.Choices("", entry.Edges...)},
		{Name: size, Label: words + ", width", Unit: unitWord, Figure: true, Hint: "of the lip or hem"},
		{Name: angle, Label: words + ", bend angle of a lip", Unit: "°", Figure: true, Hint: "empty: 90"},
	}
}

// angleFields are an angle and its way.
func angleFields(name, label string) []web.Field {
	return []web.Field{
		{Name: name, Label: label + ", bend angle", Unit: "°", Figure: true},
		{Name: name + ".way", Label: label + ", folded", Choices: web.Choices("", "up", "up, towards face A", "down", "down")},
	}
}

func trayGroups(form url.Values, unitWord string) []web.Group {
	groups := []web.Group{{Heading: "Base", Fields: []web.Field{
		{Name: "tray.base[0]", Label: "Left to right", Unit: unitWord, Figure: true, Needed: true},
		{Name: "tray.base[1]", Label: "Front to back", Unit: unitWord, Figure: true, Needed: true},
		{
			Name: entry.AlikeField, Label: "Sides", Choices: web.Choices("", "", "each by itself", "yes", "all sides alike"),
			Hint: "draw it to see the fields change",
		},
	}}}
	for _, side := range entry.ShownSides(form) {
		name := "tray.walls." + side
		heading := strings.ToUpper(side[:1]) + side[1:] + " side"
		if entry.Alike(form) {
			heading = "Every side"
		}
		fields := []web.Field{{Name: name + "[0].leg", Label: "Wall height", Unit: unitWord, Figure: true, Hint: "empty: no wall"}}
		fields = append(fields, angleFields(name+"[0].angle", "Wall")...)
		fields = append(fields, edgeFields(entry.WallEdge(side), name+"[1].leg", name+"[1].angle", "Edge", unitWord)...)
		groups = append(groups, web.Group{Heading: heading, Fields: fields})
	}
	return append(groups, cornersGroup(unitWord), wallEndsGroup(form, unitWord))
}

func cornersGroup(unitWord string) web.Group {
	return web.Group{Heading: "Corners", Fields: []web.Field{
		{
			Name: "tray.corners.relief", Label: "Relief",
			Choices: web.Choices("", "square", "square", "round", "round", "vee", "vee", "none", "none"),
		},
		{Name: "tray.corners.size", Label: "Width of the relief", Unit: unitWord, Figure: true},
		{Name: "tray.corners.gap", Label: "Gap between walls", Unit: unitWord, Figure: true},
		{Name: "tray.corners.tabs", Label: "Corner tabs", Choices: web.Choices("", "", "none", "inside", "inside", "outside", "outside")},
		{Name: "tray.corners.tab_width", Label: "Width of a tab", Unit: unitWord, Figure: true},
	}}
}

// wallEndsGroup are the fields of walls that are shorter than their side, or slanting
// at their ends. What is left empty is worked out.
func wallEndsGroup(form url.Values, unitWord string) web.Group {
	g := web.Group{Heading: "Mitres and short walls", More: true}
	for _, side := range entry.ShownSides(form) {
		for i, what := range []string{" wall", " edge"} {
			name, words := fmt.Sprintf("tray.walls.%s[%d]", side, i), strings.ToUpper(side[:1])+side[1:]+what
			g.Fields = append(g.Fields,
				web.Field{Name: name + ".mitre", Label: words + ", mitre", Unit: "°", Figure: true, Hint: "empty: worked out"},
				web.Field{Name: name + ".span[0]", Label: words + ", from", Unit: unitWord, Figure: true},
				web.Field{Name: name + ".span[1]", Label: words + ", to", Unit: unitWord, Figure: true, Hint: "empty: the whole side"},
			)
		}
	}
	return g
}

// unitsOf is the unit in which the sizes of a form are typed.
func unitsOf(form url.Values) string {
	if form.Get("units") == "in" {
		return "in"
	}
	return "mm"
}

// partAndSheet are the two groups that every form of a part begins with.
func partAndSheet(form url.Values, unitWord string) []web.Group {
	return []web.Group{{Heading: "Part", Fields: []web.Field{
		{Name: "number", Label: "Number", Needed: true}, {Name: "title", Label: "In words"}, {Name: "revision", Label: "Revision"},
	}}, {Heading: "Sheet", Fields: []web.Field{
		{Name: "material", Label: "Material", Choices: shelf.MaterialChoices(form.Get("material"))},
		{Name: "thickness", Label: "Thickness", Unit: unitWord, Figure: true},
		{Name: "gauge", Label: "or gauge", Hint: "such as 16"},
		{Name: "units", Label: "Sizes are typed in", Choices: web.Choices("", "mm", "millimetres", "in", "inches")},
	}}}
}

// moreGroup are the fields that are seldom needed.
func moreGroup(unitWord string) web.Group {
	return web.Group{Heading: "Radius, tolerance, grain", More: true, Fields: []web.Field{
		{Name: "inside_radius", Label: "Inside radius", Unit: unitWord, Figure: true, Hint: "empty: the shop's usual"},
		{Name: "tolerance.angle", Label: "Angle tolerance ±", Unit: "°", Figure: true},
		{Name: "tolerance.length", Label: "Size tolerance ±", Unit: unitWord, Figure: true},
		{Name: "grain", Label: "Grain runs along", Choices: web.Choices("", "", "either", "x", "x", "y", "y")},
		{Name: "marked_face", Label: "Film or marked side", Choices: web.Choices("", "A", "face A, up at the start", "B", "face B")},
		{Name: "k", Label: "K-factor", Figure: true, Hint: "empty: the shop's rule"},
	}}
}
