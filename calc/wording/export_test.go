package wording

// FormerFor is formerFor, for tests that plan whole parts.
var FormerFor = formerFor

// Clearances is clearances, for tests on each side of what is called tight.
var Clearances = clearances

// PastEnd is pastEnd, for tests of its words.
var PastEnd = pastEnd
