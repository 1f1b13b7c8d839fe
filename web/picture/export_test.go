package picture

// What the test of the whole preview looks at and nobody else needs.
const (
	NetMargin    = netMargin
	NetSide      = netSide
	NetUnit      = netUnit
	PreviewLeft  = previewLeft
	PreviewNet   = previewNet
	PreviewNetAt = previewNetAt
	PreviewWide  = previewWide
)

var (
	PaintMark  = paintMark
	PaintWhite = paintWhite
	SidePaints = sidePaints
)
