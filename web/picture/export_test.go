package picture

// What the test of the whole preview looks at and nobody else needs.
const (
	PreviewLeft       = previewLeft
	PreviewPosition   = previewPosition
	PreviewPositionAt = previewPositionAt
	PreviewWide       = previewWide
)

var (
	PaintMark  = paintMark
	PaintWhite = paintWhite
	SidePaints = sidePaints
)

// Middle is where a tile's middle is.
func (t Tile) Middle() Point { return t.middle() }
