package office

// What the tests of this room, which ask the whole service for its pages, know of
// its insides.
var Acts = acts

const LinesAPage = linesAPage
