package part

// file is the part file as it is written, see the README.
type file struct {
	Number       string    `json:"number"`
	Title        string    `json:"title,omitempty"`
	Revision     string    `json:"revision,omitempty"`
	Units        string    `json:"units,omitempty"`
	Material     string    `json:"material"`
	Thickness    *float64  `json:"thickness,omitempty"`
	Gauge        *string   `json:"gauge,omitempty"`
	InsideRadius *float64  `json:"inside_radius,omitempty"`
	K            *float64  `json:"k,omitempty"`
	Sizes        string    `json:"sizes,omitempty"`
	Over90       string    `json:"over_90,omitempty"`
	Grain        string    `json:"grain,omitempty"`
	MarkedFace   string    `json:"marked_face,omitempty"`
	Tolerance    *fileTol  `json:"tolerance,omitempty"`
	Profile      *fileProf `json:"profile,omitempty"`
	Tray         *fileTray `json:"tray,omitempty"`
	Flat         *fileFlat `json:"flat,omitempty"`

	Holes   []fileHole   `json:"holes,omitempty"`
	Cutouts []fileCutout `json:"cutouts,omitempty"`
}

type fileTol struct {
	Angle  *float64 `json:"angle,omitempty"`
	Length *float64 `json:"length,omitempty"`
}

type fileProf struct {
	Length float64   `json:"length"`
	Legs   []float64 `json:"legs"`
	Bends  []float64 `json:"bends"`
}

type fileTray struct {
	Base    []float64 `json:"base"`
	Walls   fileWalls `json:"walls"`
	Corners *fileCorn `json:"corners,omitempty"`
}

type fileWalls struct {
	Left  []fileWall `json:"left,omitempty"`
	Right []fileWall `json:"right,omitempty"`
	Front []fileWall `json:"front,omitempty"`
	Back  []fileWall `json:"back,omitempty"`
}

type fileWall struct {
	Leg   float64     `json:"leg"`
	Angle *float64    `json:"angle,omitempty"`
	Mitre float64     `json:"mitre,omitempty"`
	Hem   string      `json:"hem,omitempty"`
	Span  *[2]float64 `json:"span,omitempty"`
}

type fileCorn struct {
	Relief   string   `json:"relief,omitempty"`
	Size     *float64 `json:"size,omitempty"`
	Gap      *float64 `json:"gap,omitempty"`
	Tabs     string   `json:"tabs,omitempty"`
	TabWidth *float64 `json:"tab_width,omitempty"`
}

type fileFlat struct {
	Faces  []fileFace  `json:"faces"`
	Bends  []fileBend  `json:"bends"`
	Joined [][2]string `json:"joined,omitempty"`
}

type fileFace struct {
	ID      string       `json:"id"`
	Outline [][2]float64 `json:"outline"`
}

type fileBend struct {
	ID      string        `json:"id"`
	Between [2]string     `json:"between"`
	Line    [2][2]float64 `json:"line"`
	Angle   *float64      `json:"angle,omitempty"`
	Radius  float64       `json:"radius,omitempty"`
	Hem     string        `json:"hem,omitempty"`
}

type fileHole struct {
	Face     string     `json:"face"`
	At       [2]float64 `json:"at"`
	Diameter float64    `json:"diameter"`
}

type fileCutout struct {
	Face    string       `json:"face"`
	Outline [][2]float64 `json:"outline"`
}
