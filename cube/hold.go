package cube

// Hold is one of the 24 ways to hold the puzzle: what the rotation that leads
// there from the first hold does. The first, 0, is the one without rotation.
type Hold uint8

// Holds is the number of ways to hold the puzzle.
const Holds = 24

// holdTurns lists the rotations that lead to each hold: first one that brings
// each face to the bottom (the face down, up, front, back, right, left), then
// one by y.
var holdTurns = func() (h [Holds]Sequence) {
	down := []Sequence{{}, {TurnOf(X, 2)}, {TurnOf(X, -1)}, {TurnOf(X, 1)}, {TurnOf(Z, 1)}, {TurnOf(Z, -1)}}
	round := []Sequence{{}, {TurnOf(Y, 1)}, {TurnOf(Y, 2)}, {TurnOf(Y, -1)}}
	for i, d := range down {
		for j, r := range round {
			h[i*len(round)+j] = Join(d, r)
		}
	}
	return h
}()

var holdCubes = func() (h [Holds]Cube) {
	for i, turns := range holdTurns {
		h[i] = turns.Cube()
	}
	return h
}()

// Turns is the row of rotations that leads to the hold: at most one of x and z,
// then at most one of y.
func (h Hold) Turns() Sequence { return holdTurns[h] }

// Cube is what the rotation to the hold does to the solved puzzle.
func (h Hold) Cube() Cube { return holdCubes[h] }

// Hold is how the puzzle is held, seen from its centres.
func (c Cube) Hold() Hold {
	for h := range Hold(Holds) {
		if holdCubes[h].Centres == c.Centres {
			return h
		}
	}
	panic("cube: centres that no rotation makes")
}

// Then is the hold reached by the rotation of h and then that of g.
func (h Hold) Then(g Hold) Hold { return holdCubes[h].Then(holdCubes[g]).Hold() }

// Inverse is the hold whose rotation undoes that of h.
func (h Hold) Inverse() Hold { return holdCubes[h].Inverse().Hold() }

// Face is where the rotation to the hold takes a face.
func (h Hold) Face(f Face) Face {
	for to, from := range holdCubes[h].Centres {
		if from == f {
			return Face(to)
		}
	}
	panic("cube: no such face")
}

// Mirror is a plane that swaps two opposite faces.
type Mirror uint8

// The mirrors.
const (
	MirrorLR Mirror = iota // left and right swapped: the other hand
	MirrorFB               // front and back swapped
)

// Face is where the mirror takes a face.
func (m Mirror) Face(f Face) Face {
	if m == MirrorLR && (f == FaceL || f == FaceR) || m == MirrorFB && (f == FaceF || f == FaceB) {
		return f.Opposite()
	}
	return f
}

// In is the same motion written for someone who holds the puzzle in h: doing
// the rotation to h, s.In(h) and the rotation back is doing s.
func (s Sequence) In(h Hold) Sequence {
	r := make(Sequence, len(s))
	for i, t := range s {
		r[i] = t.moved(h.Face, false)
	}
	return r
}

// Mirror is the motion seen in the mirror.
func (s Sequence) Mirror(m Mirror) Sequence {
	r := make(Sequence, len(s))
	for i, t := range s {
		r[i] = t.moved(m.Face, true)
	}
	return r
}

// moved is the turn with its layer carried by a map of the faces; a mirror
// turns it the other way round.
func (t Turn) moved(to func(Face) Face, mirrored bool) Turn {
	quarters := t.Quarters()
	if mirrored {
		quarters = -quarters
	}
	return TurnLike(t.Kind(), to(t.Layer().Reference()), quarters)
}
