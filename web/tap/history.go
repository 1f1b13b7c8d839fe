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
// what was not told.
const rememberedLength = 3 + 2*lastslot.Spots

func (f Figure) String() string {
	var b strings.Builder
	write := func(n int) {
		if n < 0 {
			b.WriteByte('-')
			return
		}
		b.WriteByte(rememberedDigits[n])
	}
	write(int(f.Slot))
	if f.Corner.Spot == Unset {
		write(Unset)
	} else {
		write(f.Corner.Spot*3 + f.Corner.Turned)
	}
	if f.Edge.Spot == Unset {
		write(Unset)
	} else {
		write(f.Edge.Spot*2 + f.Edge.Turned)
	}
	for _, turned := range append(f.Corners[:], f.Edges[:]...) {
		write(turned)
	}
	return b.String()
}

const rememberedDigits = "0123456789abcde"

// Parse undoes String.
func Parse(text string) (Figure, bool) {
	if len(text) != rememberedLength {
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
	if n := read(1, lastslot.Spots*3); n >= 0 {
		f.Corner = Sticker{n / 3, n % 3}
	}
	if n := read(2, lastslot.Spots*2); n >= 0 {
		f.Edge = Sticker{n / 2, n % 2}
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
