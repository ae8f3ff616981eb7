package parts

// What the tests of the whole service know of the insides of this room.
var NextRevision = nextRevision
var PartLines = partLines
var Resize = resize
