package page

// What the tests of whole pages look at and nobody else needs.
type (
	TapView     = tapView
	TapInput    = tapInput
	StickerView = stickerView
)

const (
	ExampleScramble = exampleScramble
	ExampleSolution = exampleSolution
	PatternsShown   = patternsShown
	PlaceRows       = placeRows
)

var (
	TapOf      = tapOf
	StickersOf = stickersOf
	ColoursOf  = coloursOf
)
