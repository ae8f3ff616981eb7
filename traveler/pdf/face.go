package pdf

import (
	"github.com/jung-kurt/gofpdf"

	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
)

// families are the names of the faces inside the file.
var families = [...]string{draw.Regular: "regular", draw.Bold: "bold", draw.Mono: "mono"}

// facesUsed tells which faces are in a file.
type facesUsed [len(families)]bool

// readied is a blank file with faces in it.
type readied struct {
	file  *gofpdf.Fpdf
	faces facesUsed
}

// ready holds the file that was readied last.
var ready = make(chan readied, 1)

// Ahead readies the type faces of the next document that needs just these:
// reading them takes as long as writing some pages.
func Ahead(faces ...draw.Face) {
	var wanted facesUsed
	for _, face := range faces {
		wanted[face] = true
	}
	if len(ready) > 0 {
		return
	}
	select {
	case ready <- readied{begun(wanted), wanted}:
	default: // another one was faster
	}
}

// withFaces gives a blank file with faces in it.
func withFaces(used facesUsed) *gofpdf.Fpdf {
	select {
	case made := <-ready:
		if made.faces == used {
			return made.file
		}
		select {
		case ready <- made: // for the next one
		default:
		}
	default:
	}
	return begun(used)
}

// begun reads faces into a blank file. Every document gets its own copy of a
// font, as the library writes into it.
func begun(used facesUsed) *gofpdf.Fpdf {
	file := blank()
	for face, needed := range used {
		if needed {
			file.AddUTF8FontFromBytes(families[face], "", letter.File(draw.Face(face)))
		}
	}
	return file
}

// bookmarkFace is the face that the library measures lines of the outline in.
const bookmarkFace = draw.Regular

// blank starts a file with nothing in it. Every page tells its own size.
func blank() *gofpdf.Fpdf {
	file := gofpdf.New("P", "mm", "A4", "")
	file.SetCatalogSort(true)
	file.SetProducer("brakeside", false)
	file.SetMargins(0, 0, 0)
	file.SetAutoPageBreak(false, 0)
	file.SetLineCapStyle("round")
	file.SetLineJoinStyle("round")
	return file
}
