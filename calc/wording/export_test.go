package wording

// FormerFor is formerFor, for tests that plan whole parts.
var FormerFor = formerFor
