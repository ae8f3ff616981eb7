package say

import "brakeside/templates/words"

// Typed marks what people typed, in words that pages show: it is never taken for a
// phrase of the catalogue. Pages have "typed" for the same.
func Typed(text string) string { return words.Typed(text) }
