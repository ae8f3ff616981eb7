package lessons

import (
	"time"

	"brakeside/calc/spc"
)

// LeastToJudge is how many readings a group needs before anything is concluded
// from it: as many as show a mean that is off by one spread, with a chance of
// one in twenty to see one that is not there and of one in ten to miss one.
// Source: NIST/SEMATECH e-Handbook, 7.2.2.2.
var LeastToJudge = spc.Test{FalseAlarm: 0.05, Miss: 0.1}.ValuesToSee(1)

// Untouched is how long after it was issued a sheet without readings counts as
// not logged. Common practice, no source.
const Untouched = 24 * time.Hour

// AlarmLasts is how long a brake that moved is told of.
const AlarmLasts = 7 * 24 * time.Hour
