package office

// What the tests of the whole service know of the insides of this room.
var Acts = acts
