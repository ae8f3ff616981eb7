package page

// What stands in the notes and at the foot of every page.
const (
	wordsNotes      = "NOTES FOR THE OFFICE"
	wordsSketch     = "NOTES AND SKETCHES"
	wordsDestroy    = "Destroy this sheet if its revision differs from the page that the code opens."
	wordsDestroyOld = "Destroy this page when the drawing gets a new revision."
)
