package brakes

// What the tests of the whole service know of the insides of this room.
const AddBar = addBar
const DropBar = dropBar

var WithBars = withBars
