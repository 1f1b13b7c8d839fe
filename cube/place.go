package cube

import "strings"

// Face is a side of the puzzle in space, or the colour that belongs there.
type Face uint8

// The faces, in the order of every table in this module.
const (
	FaceU Face = iota
	FaceD
	FaceL
	FaceR
	FaceF
	FaceB

	Faces = 6
)

const faceLetters = "UDLRFB"

// String is the face's letter.
func (f Face) String() string { return faceLetters[f : f+1] }

var faceWords = [Faces]string{"up", "down", "left", "right", "front", "back"}

// Words is the face in words, as where something faces: up, down, left, right,
// front or back.
func (f Face) Words() string { return faceWords[f] }

// Opposite is the face across the puzzle.
func (f Face) Opposite() Face { return f ^ 1 }

// faceOf reads a face's letter, which must be one of UDLRFB.
func faceOf(letter byte) Face {
	i := strings.IndexByte(faceLetters, letter)
	if i < 0 {
		panic("cube: no face " + string(letter))
	}
	return Face(i)
}

// CornerPlace is a place of a corner, or the corner that belongs there.
type CornerPlace uint8

// The corner places; the package comment shows where they are.
const (
	UBL CornerPlace = iota
	UBR
	UFL
	UFR
	DFR
	DFL
	DBL
	DBR

	CornerPlaces = 8
)

// EdgePlace is a place of an edge, or the edge that belongs there.
type EdgePlace uint8

// The edge places; the package comment shows where they are.
const (
	UB EdgePlace = iota
	UL
	UR
	UF
	FR
	FL
	BL
	BR
	DF
	DL
	DB
	DR

	EdgePlaces = 12
)

// cornerFacelets has each corner place's facelets clockwise from the reference.
var cornerFacelets = [CornerPlaces][3]Face{
	UBL: {FaceU, FaceL, FaceB},
	UBR: {FaceU, FaceB, FaceR},
	UFL: {FaceU, FaceF, FaceL},
	UFR: {FaceU, FaceR, FaceF},
	DFR: {FaceD, FaceF, FaceR},
	DFL: {FaceD, FaceL, FaceF},
	DBL: {FaceD, FaceB, FaceL},
	DBR: {FaceD, FaceR, FaceB},
}

// edgeFacelets has each edge place's facelets, the reference first.
var edgeFacelets = [EdgePlaces][2]Face{
	UB: {FaceU, FaceB},
	UL: {FaceU, FaceL},
	UR: {FaceU, FaceR},
	UF: {FaceU, FaceF},
	FR: {FaceF, FaceR},
	FL: {FaceF, FaceL},
	BL: {FaceB, FaceL},
	BR: {FaceB, FaceR},
	DF: {FaceD, FaceF},
	DL: {FaceD, FaceL},
	DB: {FaceD, FaceB},
	DR: {FaceD, FaceR},
}

var (
	cornerNames = [CornerPlaces]string{"UBL", "UBR", "UFL", "UFR", "DFR", "DFL", "DBL", "DBR"}
	edgeNames   = [EdgePlaces]string{"UB", "UL", "UR", "UF", "FR", "FL", "BL", "BR", "DF", "DL", "DB", "DR"}
)

// String is the place's name, such as "UFR".
func (p CornerPlace) String() string { return cornerNames[p] }

// String is the place's name, such as "UF".
func (p EdgePlace) String() string { return edgeNames[p] }

// Facelets lists the faces that the place touches, clockwise seen from outside,
// the reference (U or D) first.
func (p CornerPlace) Facelets() [3]Face { return cornerFacelets[p] }

// Facelets lists the two faces that the place touches, the reference (U or D,
// in the middle layer F or B) first.
func (p EdgePlace) Facelets() [2]Face { return edgeFacelets[p] }

// Corner is a corner as it stands in a place: piece*3 + twist, 0 to 23.
type Corner uint8

// CornerAs is the piece with the twist 0, 1 or 2.
func CornerAs(piece CornerPlace, twist int) Corner { return Corner(int(piece)*3 + twist) }

// Piece is the place that the corner belongs in.
func (c Corner) Piece() CornerPlace { return CornerPlace(c / 3) }

// Twist is the number of the place's facelet that shows the corner's reference
// colour: 0, 1 or 2.
func (c Corner) Twist() int { return int(c % 3) }

// Edge is an edge as it stands in a place: piece*2 + flip, 0 to 23.
type Edge uint8

// EdgeAs is the piece with the flip 0 or 1.
func EdgeAs(piece EdgePlace, flip int) Edge { return Edge(int(piece)*2 + flip) }

// Piece is the place that the edge belongs in.
func (e Edge) Piece() EdgePlace { return EdgePlace(e / 2) }

// Flip is 0 where the place's reference facelet shows the edge's reference
// colour, otherwise 1.
func (e Edge) Flip() int { return int(e % 2) }
