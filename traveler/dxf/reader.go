package dxf

import "brakeside/calc/geom"

// reader makes shapes of pairs.
type reader struct {
	scan
	drawing *Drawing
	blocks  map[string]block // by name, in capitals
	points  int
	inserts int
}

// block is a group of entities that is drawn wherever it is inserted.
type block struct {
	base     geom.Point2 // what lies at the place of the insertion
	entities []entityTags
	outside  bool // it is kept in another file
}
