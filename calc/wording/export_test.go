package wording

// FormerFor is formerFor, for tests that plan whole parts.
var FormerFor = formerFor

// Clearances is clearances, for tests on each side of what is called tight.
var Clearances = clearances
