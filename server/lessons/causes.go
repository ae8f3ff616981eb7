package lessons

// Causes are why a first piece fails, with the words for them. Common practice,
// no source.
var Causes = []struct{ Cause, Words string }{
	{"angle", "angle: stop or springback"}, {"allowance", "allowance: the blank"}, {"in-out", "inside and outside sizes mixed up"},
	{"mirror", "mirrored"}, {"order", "order of bends"}, {"bar", "wrong bar, or it lifted"}, {"revision", "wrong revision"},
	{"material", "wrong or odd material"}, {"reading", "misread"},
}

// CauseWords words a cause; one that nobody gave is not said.
func CauseWords(cause string) string {
	for _, c := range Causes {
		if c.Cause == cause {
			return c.Words
		}
	}
	return "not said"
}
