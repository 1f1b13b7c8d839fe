package cube

import "fmt"

// Layer is what a turn moves: a face, two layers from a face inwards (wide), a
// middle slice, or the whole puzzle.
type Layer uint8

// The layers. Wide layers stand at their face's number + 6.
const (
	U Layer = iota
	D
	L
	R
	F
	B
	Uw
	Dw
	Lw
	Rw
	Fw
	Bw
	M
	E
	S
	X
	Y
	Z

	Layers = 18
)

// Kind sorts layers by what they move.
type Kind uint8

// The kinds of layers.
const (
	FaceTurn Kind = iota
	WideTurn
	SliceTurn
	Rotation
)

// layerLetters has the letter that each layer is written with.
const layerLetters = "UDLRFBudlrfbMESxyz"

// layerReference has the face that each layer turns like: clockwise for this
// face is clockwise for the layer. Faces and wide turns: WCA Regulations (2024)
// 12a1 and 12a2; rotations: 12a4; slices: their 2010 text, 12a13.
var layerReference = [Layers]Face{
	U: FaceU, D: FaceD, L: FaceL, R: FaceR, F: FaceF, B: FaceB,
	Uw: FaceU, Dw: FaceD, Lw: FaceL, Rw: FaceR, Fw: FaceF, Bw: FaceB,
	M: FaceL, E: FaceD, S: FaceF,
	X: FaceR, Y: FaceU, Z: FaceF,
}

// Kind says what kind of layer it is.
func (l Layer) Kind() Kind {
	switch {
	case l < Uw:
		return FaceTurn
	case l < M:
		return WideTurn
	case l < X:
		return SliceTurn
	}
	return Rotation
}

// Reference is the face that the layer turns like.
func (l Layer) Reference() Face { return layerReference[l] }

// layerLike is the layer of a kind that turns like the face or, for slices and
// rotations, against it.
func layerLike(kind Kind, face Face) (layer Layer, against bool) {
	switch kind {
	case FaceTurn:
		return Layer(face), false
	case WideTurn:
		return Uw + Layer(face), false
	}
	first, last := M, S
	if kind == Rotation {
		first, last = X, Z
	}
	for l := first; l <= last; l++ {
		switch face {
		case l.Reference():
			return l, false
		case l.Reference().Opposite():
			return l, true
		}
	}
	panic(fmt.Sprintf("cube: no layer of kind %d for face %d", kind, face))
}

// Turn is a layer turned by one, two or three quarters clockwise.
type Turn uint8

// TurnOf is the layer turned by a number of quarters, taken modulo four; a
// multiple of four is no turn and panics.
func TurnOf(l Layer, quarters int) Turn {
	quarters &= 3
	if quarters == 0 || l >= Layers {
		panic(fmt.Sprintf("cube: no turn of layer %d by %d quarters", l, quarters))
	}
	return Turn(int(l)*3 + quarters - 1)
}

// TurnLike is the turn of the layer of a kind at a face, by a number of quarters
// clockwise seen from that face: for L a slice is M, a rotation x the other way.
func TurnLike(kind Kind, face Face, quarters int) Turn {
	layer, against := layerLike(kind, face)
	if against {
		quarters = -quarters
	}
	return TurnOf(layer, quarters)
}

// Turns is the number of different turns.
const Turns = Layers * 3

// Layer is what the turn moves.
func (t Turn) Layer() Layer { return Layer(t / 3) }

// Quarters is how far it moves, clockwise: 1, 2 or 3 quarters.
func (t Turn) Quarters() int { return int(t%3) + 1 }

// Inverse undoes the turn.
func (t Turn) Inverse() Turn { return TurnOf(t.Layer(), -t.Quarters()) }

// Kind is the kind of the turn's layer.
func (t Turn) Kind() Kind { return t.Layer().Kind() }

// String writes the turn as the trade does: "R", "R2", "R'", a wide turn "r".
func (t Turn) String() string {
	return layerLetters[t.Layer():t.Layer()+1] + [...]string{"", "2", "'"}[t.Quarters()-1]
}
