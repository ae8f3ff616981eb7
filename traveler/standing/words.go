package standing

// Wording is how a kind of event is asked for and told of.
type Wording struct {
	Heading string // of the choice
	Label   string // of the field that goes with it: the Detail, or the piece
	Button  string
	Told    string // what happened, up to its Detail
}

var wordings = map[string]Wording{
	Closed:        {"Close the traveler", "How it went", "Close", "closed:"},
	Reopened:      {"Open it again", "Why work goes on", "Open again", "opened again:"},
	Voided:        {"Make the traveler void", "Why it must not be bent from", "Make it void", "made void:"},
	Replaced:      {"Replace the traveler", "Why it is replaced", "Replace", "replaced by"},
	FinishAllowed: {"Let the batch be finished", "Why the replaced traveler may be used up", "Allow it", "batch may be finished:"},
	Released:      {"Release the run", "Why the first piece is good enough", "Release", "run released:"},
	ReleaseAsked:  {"Ask for the release", "Why the run should go on", "Ask the office", "release of the run asked for:"},
	Requantified:  {"Change the quantity", "Pieces to make", "Change", "pieces to make"},
	Resampled: {"Measure fewer pieces", "Besides the first and the last, one in so many; 1 is every piece",
		"Change", "measured is one piece in"},
	Remade:      {"Make it again", "The scrapped piece", "Make it again", "scrapped piece made again:"},
	Skipped:     {"Leave a piece out", "Why it is left out", "Leave it out", "piece left out:"},
	TakenUp:     {"Make it after all", "The piece", "Make it", "piece made after all:"},
	Held:        {"Stop the run", "What is wrong", "Stop and call", "run stopped:"},
	Resumed:     {"Resume the run", "What was done about it", "Resume", "run goes on:"},
	NewRevision: {"", "", "", "newer revision of the part is ready:"},
	RunOn: {"Make it from the old revision", "Why the old revision may be made",
		"Make it as it is", "may be made although a newer revision is ready:"},
}

// About words a kind of event; the zero Wording for none.
func About(kind string) Wording { return wordings[kind] }

// AboutNewRevision lists what can be decided about a traveler of a part of which
// a newer revision is ready: it is replaced, runs on, or is stopped for good.
func AboutNewRevision() []string { return []string{Replaced, RunOn, Voided} }
