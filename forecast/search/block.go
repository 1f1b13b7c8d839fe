package search

import (
	"slotcast/cube"
)

// block is how far the two faces of an axis turn: axis*16 + quarters of the
// first face*4 + quarters of the second. The axes are U-D, L-R and F-B.
type block uint8

const (
	axes   = 3
	blocks = axes * 16
)

func (b block) axis() int { return int(b) / 16 }

// quarters is how far the first and the second face of the axis turn.
func (b block) quarters() (first, second int) { return int(b) >> 2 & 3, int(b) & 3 }

func blockOf(axis, first, second int) block { return block(axis*16 + first&3*4 + second&3) }

// faces are the two faces of an axis.
func faces(axis int) (first, second cube.Face) { return cube.Face(2 * axis), cube.Face(2*axis + 1) }

func (b block) inverse() block {
	first, second := b.quarters()
	return blockOf(b.axis(), -first, -second)
}

// tokens is how many turns the block takes: one where a single face moves, or
// both move together as around a slice; otherwise two.
func (b block) tokens() int {
	first, second := b.quarters()
	switch {
	case first == 0 && second == 0:
		return 0
	case first == 0 || second == 0 || first+second == 4:
		return 1
	}
	return 2
}

// beside is b and c as one block, where each turns another face of the same axis.
func (b block) beside(c block) (block, bool) {
	first, second := b.quarters()
	otherFirst, otherSecond := c.quarters()
	if b.axis() != c.axis() || first != 0 && otherFirst != 0 || second != 0 && otherSecond != 0 {
		return 0, false
	}
	return blockOf(b.axis(), first+otherFirst, second+otherSecond), true
}

// turns are the block's face turns.
func (b block) turns() cube.Sequence {
	s := cube.Sequence{}
	firstFace, secondFace := faces(b.axis())
	first, second := b.quarters()
	if first != 0 {
		s = append(s, cube.TurnOf(cube.Layer(firstFace), first))
	}
	if second != 0 {
		s = append(s, cube.TurnOf(cube.Layer(secondFace), second))
	}
	return s
}

// turnsTop says whether the block turns the top face.
func (b block) turnsTop() bool {
	first, _ := b.quarters()
	return b.axis() == 0 && first != 0
}

// motion is a row of blocks.
type motion []block

// bytes are the blocks, and motionFrom is the inverse.
func (m motion) bytes() []byte {
	b := make([]byte, len(m))
	for i := range m {
		b[i] = byte(m[i])
	}
	return b
}

func motionFrom(text string) motion {
	m := make(motion, len(text))
	for i := range m {
		m[i] = block(text[i])
	}
	return m
}

// pack keeps a motion of at most ten blocks in a number, the first block in the
// lowest six bits, empty places above; b = 0 is no block.
func (m motion) pack() (p uint64) {
	for i, b := range m {
		p |= uint64(b) << (6 * i)
	}
	return p
}

func unpack(p uint64, into motion) motion {
	into = into[:0]
	for ; p != 0; p >>= 6 {
		into = append(into, block(p&63))
	}
	return into
}

func (m motion) inverse() motion {
	r := make(motion, len(m))
	for i, b := range m {
		r[len(m)-1-i] = b.inverse()
	}
	return r
}

// across is the motion seen in the mirror that the diagonal of the slot at front
// right stands in: it swaps front with right and back with left.
func (m motion) across() motion {
	r := make(motion, len(m))
	for i, b := range m {
		first, second := b.quarters()
		switch b.axis() {
		case 0:
			r[i] = blockOf(0, -first, -second)
		default:
			r[i] = blockOf(3-b.axis(), -second, -first)
		}
	}
	return r
}

// motionOf is a row of face turns as a motion.
func motionOf(s cube.Sequence) (m motion) {
	for _, t := range s {
		face := int(t.Layer())
		b := blockOf(face/2, t.Quarters(), 0)
		if face%2 == 1 {
			b = blockOf(face/2, 0, t.Quarters())
		}
		m = m.and(b)
	}
	return m
}

// blockCubes has what each block does.
var blockCubes = func() (table [blocks]cube.Cube) {
	for b := range block(blocks) {
		table[b] = b.turns().Cube()
	}
	return table
}()

func (m motion) cube() cube.Cube {
	c := cube.Solved
	for _, b := range m {
		c = c.Then(blockCubes[b])
	}
	return c
}

// and is m and then the block, as one block with the last where both turn one
// axis.
func (m motion) and(b block) motion {
	if len(m) == 0 || m[len(m)-1].axis() != b.axis() {
		return append(m, b)
	}
	first, second := m[len(m)-1].quarters()
	otherFirst, otherSecond := b.quarters()
	both := blockOf(b.axis(), first+otherFirst, second+otherSecond)
	if both.tokens() == 0 {
		return m[:len(m)-1]
	}
	m[len(m)-1] = both
	return m
}

// withoutAUF takes turns of the top off both ends.
func (m motion) withoutAUF() motion {
	for len(m) > 0 && m[0].turnsTop() {
		_, second := m[0].quarters()
		if m[0] = blockOf(0, 0, second); second == 0 {
			m = m[1:]
		}
	}
	for len(m) > 0 && m[len(m)-1].turnsTop() {
		_, second := m[len(m)-1].quarters()
		if m[len(m)-1] = blockOf(0, 0, second); second == 0 {
			m = m[:len(m)-1]
		}
	}
	return m
}
