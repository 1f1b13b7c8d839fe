package forecast

import (
	"cmp"
	"slices"
	"sort"
	"time"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/pll"
)

// Forecaster is the book as one person uses it: what a forecast needs of the
// person, worked out once. It does not change, serves any number of goroutines,
// and does not notice when the person changes.
type Forecaster struct {
	book  *Book // for the person's hands
	after [lastslot.Outcomes]afterwards
	// foreseen has what follows an outcome that was predicted; nil where that is the same.
	foreseen *[lastslot.Outcomes]afterwards

	// plls are how the person does each PLL.
	plls [pll.PLLs]personsPLL

	// speed is the person's; prefixes has how long they take for each rotation and
	// AUF before an insertion, in milliseconds, by [bookOption.prefix].
	speed    float64
	prefixes [16]uint16

	// tracked is how many pieces the person follows where nothing else is said, and
	// trackEach how long each takes; predictsAll is for the forecast as if all were
	// predicted.
	tracked     int
	trackEach   time.Duration
	predictsAll bool

	// steps are those of which the person says anything.
	steps []OwnStep

	// usual are the insertions that the person is taken to know.
	usual   *usual
	usualIs Usual

	// own has the options of the person's own insertions, by slot and place of the
	// pair, then in order of count and turns.
	own []ownOption
	// changed marks, for each slot, the insertions in the book of which some options may
	// give place to the person's own or are hidden; nil if there are none.
	changed [lastslot.Slots][]uint64
	// hidden has those of them that are not offered at all.
	hidden map[slotInsertion]bool
}

type slotInsertion struct {
	slot   lastslot.Slot
	number int
}

// For works out what forecasts for the person need.
func (b *Book) For(p *Person) *Forecaster {
	f := new(Forecaster)
	f.fill(b, p)
	return f
}

// fill is what [Book.For] does. That is so short that a forecaster for one forecast
// needs no allocation.
func (f *Forecaster) fill(b *Book, p *Person) {
	f.book = b.With(p.Hands)
	f.after = f.book.after
	f.tracked, f.trackEach = p.Track, p.Scale.Track
	f.usual, f.usualIs = f.book.usual[p.Usual], p.Usual
	f.steps = p.Steps
	f.speed = p.Speed
	if f.speed == 0 {
		f.speed = 1
	}
	for prefix := range f.prefixes {
		rotation, auf := f.book.rotations[prefix/4], f.book.aufs[prefix%4]
		f.prefixes[prefix] = uint16((p.scaled(rotation) + p.scaled(auf)) / ms)
	}
	for o := range f.after {
		pattern, a := lastslot.Outcome(o).Pattern(), &f.after[o]
		if own := p.Sequences[pattern]; len(own) > 0 {
			*a = easiestOf(own, lastslot.Outcome(o), p)
		} else {
			a.auf = p.scaled(a.auf)
			a.sequence = wholeMs(p.execute(pattern, p.scaled(a.sequence)))
		}
		a.recognise = wholeMs(p.recognise(pattern))
		a.total = uint64((a.recognise + a.auf + a.sequence) / ms)
	}
	f.foreseen = f.learnt(p)
	f.solving(p)
	if len(p.Insertions) == 0 {
		f.own = f.usual.unlisted
		if f.speed != 1 {
			f.own = slices.Clone(f.own)
			for i := range f.own {
				f.own[i].seconds = f.own[i].seconds.scaled(p)
			}
		}
		return
	}
	f.hidden = map[slotInsertion]bool{}
	for slot := range f.changed {
		f.changed[slot] = make([]uint64, len(f.book.spelled[slot])/64+1)
	}
	said := map[slotInsertion]bool{}
	for _, own := range p.Insertions {
		if of, ok := f.take(p, own); ok {
			said[of] = true
		}
	}
	for _, w := range f.usual.unlisted {
		if !said[w.of()] {
			w.seconds = w.seconds.scaled(p)
			f.own = append(f.own, w)
		}
	}
	slices.SortStableFunc(f.own, func(a, b ownOption) int {
		if order := cmp.Or(cmp.Compare(a.place, b.place), a.compare(int(b.count), b.turns)); order != 0 || a.known == b.known {
			return order
		}
		// Written down twice, it is known if either says so.
		if a.known {
			return -1
		}
		return 1
	})
	f.own = slices.CompactFunc(f.own, func(a, b ownOption) bool { return a.place == b.place && slices.Equal(a.turns, b.turns) })
}

// Gaps are the patterns from which nothing that the person has learnt leads to the oriented
// top.
func (f *Forecaster) Gaps() (patterns []lastslot.Pattern) {
	for p := range lastslot.Pattern(lastslot.Patterns) {
		if f.after[p.Outcome()].gap {
			patterns = append(patterns, p)
		}
	}
	return patterns
}

// Predicted is the forecaster as if the person predicted what every insertion leaves.
func (f *Forecaster) Predicted() *Forecaster {
	predicted := *f
	predicted.predictsAll = true
	return &predicted
}

// follows is how many pieces the person follows in an insertion with so many to track:
// all where they predict what it leaves, otherwise none. Doing nothing has none, and is
// looked at.
func (f *Forecaster) follows(track int, predict Said) int {
	if f.predictsAll || predict == Yes || predict == Unsaid && track <= f.tracked {
		return track
	}
	return 0
}

// then is what follows the outcome of an insertion in which so many pieces are followed,
// and how long recognising takes in it: of any, the first look takes the lesser of
// recognising and tracking.
func (f *Forecaster) then(o lastslot.Outcome, followed int) (a *afterwards, recognise time.Duration) {
	a = &f.after[o]
	if followed == 0 {
		return a, a.recognise
	}
	tracking := time.Duration(followed) * f.trackEach
	recognise = a.recognise - a.first + min(a.first, tracking)
	if f.foreseen != nil {
		other := &f.foreseen[o]
		saved := other.recognise - other.first + min(other.first, tracking)
		if saved+other.auf+other.sequence < recognise+a.auf+a.sequence {
			return other, saved
		}
	}
	return a, recognise
}

// from is how many milliseconds the person takes from the outcome on of an insertion
// in which so many pieces are followed.
func (f *Forecaster) from(o lastslot.Outcome, followed int) uint64 {
	if followed == 0 {
		return f.after[o].total
	}
	a, recognise := f.then(o, followed)
	return uint64((recognise + a.auf + a.sequence) / ms)
}

// spelledAt is the slot after the rotation by which the book offers an insertion.
func (b *Book) spelledAt(slot lastslot.Slot, number int) lastslot.Slot {
	return lastslot.Slot((int(slot) + int(b.rotated[slot][number])) & 3)
}

// An option's key has whether it stands behind those that are known, its total, then
// where it stands among the book's options in the
// order that breaks ties, then where among the person's own that stand before
// the same one of the book's. So keys sort as options are ordered.
const (
	ownBits  = 16
	bookBits = 24
	bookOwn  = 1<<ownBits - 1 // in the place of the last part: the book's option itself
	noKey    = ^uint64(0)
	behind   = uint64(1) << 63
)

func keyOf(total uint64, book, own int) uint64 {
	return total<<(bookBits+ownBits) | uint64(book)<<ownBits | uint64(own)
}

func totalOf(key uint64) uint64 { return key &^ behind >> (bookBits + ownBits) }

// Forecast lists the options to fill the slot, in order of the total, the lowest
// first, then of the count, then of the turns as text; see [View] for which come first.
func (f *Forecaster) Forecast(r Request) []Option {
	b, slot, place := f.book, r.Case.Slot, r.Case.PairPlace()
	listed, own := b.options[slot][place], f.ownAt(slot, place)
	twists, flips := r.Case.TwistIndex(), r.Case.FlipIndex()
	leaves := func(w *bookOption) lastslot.Outcome {
		left := lastslot.Outcome(b.cornersLeft[w.corners][twists]*8 + b.edgesLeft[w.edges][flips])
		return left.Turned(int(w.turned))
	}

	order := make([]uint64, 0, len(listed)+len(own))
	var best [lastslot.Patterns]uint64
	for p := range best {
		best[p] = noKey
	}
	offer := func(key uint64, left lastslot.Outcome) {
		if r.PerPattern {
			pattern := left.Pattern()
			best[pattern] = min(best[pattern], key)
		} else {
			order = append(order, key)
		}
	}
	usual := f.usual.numbers[slot][place]
	bestKnown := noKey
	filtered := r.Filter != Filter{}
	changed := f.changed[slot]
	for i := range listed {
		w := &listed[i]
		known := w.number == doNothing || w.number == usual
		if w.number != doNothing {
			if r.View == Known && !known || changed != nil && changed[w.number/64]>>(w.number%64)&1 == 1 && f.gives(slot, w, own) {
				continue
			}
			if filtered && !r.Filter.Offers(w.of(b, slot), int(w.count)) {
				continue
			}
		}
		left := leaves(w)
		key := keyOf(uint64(f.insert(w))+f.from(left, f.follows(b.track(w), Unsaid)), i, bookOwn)
		if known {
			bestKnown = min(bestKnown, key)
		} else if r.View == KnownFirst {
			key |= behind
		}
		offer(key, left)
	}
	for i := range own {
		w := &own[i]
		if r.View == Known && !w.known || filtered && !r.Filter.Offers(w.turns, int(w.count)) {
			continue
		}
		left := leaves(&w.bookOption)
		before := sort.Search(len(listed), func(j int) bool {
			return w.compare(int(listed[j].count), listed[j].of(b, slot)) <= 0
		})
		key := keyOf(uint64(w.seconds.Insert()/ms)+f.from(left, f.follows(int(w.track), w.predict)), before, i)
		if w.known {
			bestKnown = min(bestKnown, key)
		} else if r.View == KnownFirst {
			key |= behind
		}
		offer(key, left)
	}
	if r.PerPattern {
		for _, key := range best {
			if key != noKey {
				order = append(order, key)
			}
		}
	}
	slices.Sort(order)
	if r.Limit > 0 && len(order) > r.Limit {
		order = order[:r.Limit]
	}

	options := make([]Option, len(order))
	for i, key := range order {
		o := &options[i]
		var left lastslot.Outcome
		var followed int
		if at := int(key & bookOwn); at == bookOwn {
			w := &listed[key>>ownBits&(1<<bookBits-1)]
			left = leaves(w)
			turns := w.of(b, slot)
			*o = Option{Turns: turns, Count: int(w.count), Track: b.track(w), Known: w.number == doNothing || w.number == usual, Seconds: f.seconds(w)}
			followed = f.follows(o.Track, Unsaid)
		} else {
			w := &own[at]
			left = leaves(&w.bookOption)
			*o = Option{Turns: w.turns, Count: int(w.count), Track: int(w.track), Known: w.known, Seconds: w.seconds}
			followed = f.follows(o.Track, w.predict)
		}
		o.Leaves = left
		f.finish(o, followed)
		if !o.Known && bestKnown != noKey && totalOf(bestKnown) > totalOf(key) {
			o.Gain = time.Duration(totalOf(bestKnown)-totalOf(key)) * ms
		}
	}
	return options
}

// finish says what follows what the option leaves, where so many pieces are followed.
func (f *Forecaster) finish(o *Option, followed int) {
	a, recognise := f.then(o.Leaves, followed)
	o.Then, o.Sequence, o.Looks, o.Gap = lastslot.AUFs[a.quarters], a.turns, a.looks, a.gap
	o.Predicted = followed > 0
	o.Seconds.Recognise, o.Seconds.ThenAUF, o.Seconds.Sequence = recognise, a.auf, a.sequence
}

// of is the turns of an option of the slot's.
func (w *bookOption) of(b *Book, slot lastslot.Slot) cube.Sequence {
	end := w.first + uint32(w.length)
	return b.turns[slot][w.first:end:end]
}

// track is how many pieces are to be followed in an option of the book.
func (b *Book) track(w *bookOption) int {
	if w.number == doNothing {
		return 0
	}
	return int(b.tracks[w.number])
}

// insert is how long the person takes for an option of the book, in milliseconds.
func (f *Forecaster) insert(w *bookOption) int {
	if f.speed == 1 {
		return int(f.prefixes[w.prefix]) + int(w.insertion)
	}
	return int(f.prefixes[w.prefix]) + int(float64(w.insertion)*f.speed+0.5)
}

// seconds are the parts of it.
func (f *Forecaster) seconds(w *bookOption) (s Seconds) {
	rotation, auf := f.book.rotations[w.prefix/4], f.book.aufs[w.prefix%4]
	p := Person{Speed: f.speed}
	s.Rotation, s.AUF = p.scaled(rotation), p.scaled(auf)
	s.Insertion = time.Duration(f.insert(w))*ms - s.Rotation - s.AUF
	return s
}
