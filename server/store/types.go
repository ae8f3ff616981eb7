package store

import (
	"time"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// Owner is the person who signs in. The store keeps only the hash.
type Owner struct {
	Name         string
	PasswordHash string // argon2id, in its text form
}

// Session is one signed-in browser. The store keeps only the token's hash.
type Session struct {
	TokenHash string
	Role      string // empty counts as RoleOwner
	Expires   time.Time
}

// Shelf names one kind of thing kept in versions.
type Shelf int

// The shelves.
const (
	Parts Shelf = iota + 1
	Brakes
	Materials
)

// Revision is one kept version of a part, a brake or a material.
type Revision struct {
	Seq      int64
	Name     string // part number, brake name or material id
	Revision string // of a part; empty for the others
	Title    string
	JSON     []byte
	Created  time.Time
}

// Job is an order for a number of pieces of one part.
type Job struct {
	Number   string
	Part     string
	Revision string
	Quantity int
	Brake    string
	Due      string // YYYY-MM-DD, or empty
	Created  time.Time
}

// JobDetail is what the office says of a job beside its sheet.
type JobDetail struct {
	Job      string
	Due      string // YYYY-MM-DD, or empty
	Customer string
	Note     string
	Turn     int // at its brake, from 1 on; 0 where none was given
	By       string
}

// Issued is a traveler as it leaves the office.
type Issued struct {
	Traveler   *traveler.Traveler
	Snapshot   []byte   // traveler.Encode of it
	PDF        []byte   // the printed sheet
	Supersedes []string // codes of sheets it replaces
	Basis      Basis
}

// Standing is what has happened to a traveler since it was issued.
type Standing = standing.Standing

// Kept is a traveler as stored.
type Kept struct {
	Traveler *traveler.Traveler
	Digest   string // hexadecimal
	Standing
}

// Pieces is how many are to be made: as decided last, or as the sheet was issued.
func (k Kept) Pieces() int {
	if k.Quantity == 0 {
		return k.Traveler.Quantity
	}
	return k.Quantity
}

// Line is one traveler in the owner's list.
type Line struct {
	Code, Job, Part, Revision, Brake string
	Title, Material                  string // of the part; in words
	Thickness                        unit.Micron
	Minutes                          int64 // hundredths a piece, as planned
	Steps                            int
	IssuedAt                         time.Time
	Due, Customer, Note              string
	Turn                             int // at its brake, 0 where none was given
	Standing
	Bends       int // to be logged: steps times the pieces that are measured and not scrapped
	Done        int // of these, those that are in
	Scrapped    int // pieces
	Readings    int
	Measured    int // readings that count and were not taken after rework
	InTolerance int // of these
	LastReading time.Time
}

// Event is one thing that happened to a traveler.
type Event = standing.Event

// Posted is one reading as it came from the phone.
type Posted struct {
	Code    string
	Reading progress.Reading
	Body    []byte // the bytes it was read from
}

// Judge decides about one reading; progress.Judge is the one in use.
type Judge func(progress.Job, progress.Reading) (progress.Verdict, error)

// Stops finds what tells where to stop the leaf on a sheet.
type Stops interface {
	// Newest goes by the log as it is now: for a page.
	Newest(t *traveler.Traveler) progress.Stops
	// Of goes by what a page was told last: for a reading that comes in.
	Of(t *traveler.Traveler) progress.Stops
}

// Answer is what goes back to the phone.
type Answer struct {
	Body     []byte // JSON, the same bytes every time
	Repeated bool   // the reading was stored before
}

// Cell is the accuracy of one material, thickness, bar and brake.
type Cell struct {
	Material    string
	Thickness   unit.Micron
	Bar         string
	Brake       string
	N           int      // readings that teach: what mean and spread are of
	Made        int      // bends as made, before rework, flagged ones too
	InTolerance int      // of these
	Mean        unit.Deg // error
	Spread      unit.Deg // sample standard deviation; 0 when N is 1
}

// Sample is one reading with its context.
type Sample struct {
	Reading     progress.Reading
	Code        string
	Job         string
	Part        string
	Revision    string
	Material    string
	Thickness   unit.Micron
	Bar         string
	Brake       string
	Target      unit.CentiDeg
	Tolerance   unit.CentiDeg
	StopBend    unit.CentiDeg
	InTolerance bool
	Teaches     bool
	Corrected   bool
}

// Damage is one fault found by Check.
type Damage struct {
	Where string
	What  string
}
