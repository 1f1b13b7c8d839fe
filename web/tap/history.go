package tap

import (
	"net/url"
	"slices"
	"strings"

	"slotcast/forecast/lastslot"
)

// A figure is remembered as 13 characters: the slot; the sticker of the pair's
// corner, then of its edge, numbered by spot and then by sticker; the stickers
// that show the top colour in the spots of corners, then of edges. "-" stands for
// what was not told. Where two slots are open the second slot follows with its pair's
// corner and edge, and the stickers in its own two spots.
const (
	rememberedLength    = 3 + 2*lastslot.Spots
	rememberedTwoLength = rememberedLength + 5
)

func (f Figure) String() string {
	var b strings.Builder
	write := func(numbers ...int) {
		for _, n := range numbers {
			if n < 0 {
				b.WriteByte('-')
				continue
			}
			b.WriteByte(rememberedDigits[n])
		}
	}
	number := func(at Sticker, stickers int) int {
		if at.Spot == Unset {
			return Unset
		}
		return at.Spot*stickers + at.Turned
	}
	write(int(f.Slot), number(f.Pairs[0].Corner, 3), number(f.Pairs[0].Edge, 2))
	write(f.Corners[:lastslot.Spots]...)
	write(f.Edges[:lastslot.Spots]...)
	if f.Two() {
		write(int(f.Second), number(f.Pairs[1].Corner, 3), number(f.Pairs[1].Edge, 2), f.Corners[inSecond], f.Edges[inSecond])
	}
	return b.String()
}

const rememberedDigits = "0123456789abcdefgh"

// Parse undoes String.
func Parse(text string) (Figure, bool) {
	if len(text) != rememberedLength && len(text) != rememberedTwoLength {
		return Figure{}, false
	}
	ok := true
	read := func(i, end int) int {
		if text[i] == '-' {
			return Unset
		}
		n := strings.IndexByte(rememberedDigits[:end], text[i])
		ok = ok && n >= 0
		return n
	}
	slot := read(0, lastslot.Slots)
	if slot < 0 {
		return Figure{}, false
	}
	f := Empty(lastslot.Slot(slot))
	if len(text) == rememberedTwoLength {
		second := read(rememberedLength, lastslot.Slots)
		if second < 0 || second == slot {
			return Figure{}, false
		}
		f.Second = lastslot.Slot(second)
		f.Corners[inSecond], f.Edges[inSecond] = read(rememberedLength+3, 3), read(rememberedLength+4, 2)
	}
	for i, at := range []int{1, rememberedLength + 1}[:len(f.Slots())] {
		if n := read(at, f.Spots()*3); n >= 0 {
			f.Pairs[i].Corner = Sticker{n / 3, n % 3}
		}
		if n := read(at+1, f.Spots()*2); n >= 0 {
			f.Pairs[i].Edge = Sticker{n / 2, n % 2}
		}
	}
	for spot := range lastslot.Spots {
		f.Corners[spot] = read(3+spot, 3)
		f.Edges[spot] = read(3+lastslot.Spots+spot, 2)
	}
	return f.tidy(), ok
}

// History are figures from the first to that which is shown.
type History []Figure

// LongestHistory is how far back one can go.
const LongestHistory = 16

// ReadHistory reads the figures before; those that cannot be read are left out, as
// nothing but going back depends on them.
func ReadHistory(q url.Values) (h History) {
	for text := range strings.SplitSeq(q.Get("was"), ".") {
		if f, ok := Parse(text); ok {
			h = append(h, f)
		}
	}
	return h
}

// With adds the figure that is shown now.
func (h History) With(f Figure) History {
	if len(h) == 0 || h[len(h)-1] != f {
		h = append(slices.Clone(h), f)
	}
	return h[max(0, len(h)-LongestHistory):]
}

func (h History) String() string {
	texts := make([]string, len(h))
	for i, f := range h {
		texts[i] = f.String()
	}
	return strings.Join(texts, ".")
}
