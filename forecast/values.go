package forecast

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// Values has for every last-slot case the total of the first option that a forecaster
// offers. It does not change once made.
type Values struct {
	// totals are in milliseconds, by the case's index. Where some total has no room in
	// narrow, all are in wide; of the two only one is made.
	narrow []uint16
	wide   []uint32
}

// Bytes is how much memory the values take: half as much as they could, unless somebody
// takes longer than a minute for a last slot.
func (v *Values) Bytes() int { return 2*len(v.narrow) + 4*len(v.wide) }

// Total is that of the case with the index; false where nothing is offered.
func (v *Values) Total(index int) (time.Duration, bool) {
	total, none := uint32(0), uint32(math.MaxUint32)
	if v.wide != nil {
		total = v.wide[index]
	} else {
		total, none = uint32(v.narrow[index]), math.MaxUint16
	}
	return time.Duration(total) * ms, total != none
}

// Values works out what [Forecaster.Forecast] would say first for every last-slot case,
// of the options that the view offers. It looks at every option of a place once, for all
// of the place's cases.
func (f *Forecaster) Values(view View) *Values {
	wide := make([]uint32, lastslot.Cases)
	for i := range wide {
		wide[i] = math.MaxUint32
	}
	totals := f.totalsOf()
	var next atomic.Int32
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= lastslot.Slots*lastslot.PairPlaces {
					return
				}
				p := placeValues{totals: totals, slot: lastslot.Slot(i / lastslot.PairPlaces), place: i % lastslot.PairPlaces}
				p.fill(f, view, wide)
			}
		})
	}
	workers.Wait()
	narrow := make([]uint16, len(wide))
	for i, total := range wide {
		if total >= math.MaxUint16 && total != math.MaxUint32 {
			return &Values{wide: wide}
		}
		narrow[i] = uint16(min(total, math.MaxUint16))
	}
	return &Values{narrow: narrow}
}

// The twists and the flips on top that an outcome can have, as [lastslot.Outcome] numbers
// them; a place has as many of each.
const (
	topTwists = 27
	topFlips  = 8
)

// outcomeTotals has, by an outcome's twists and flips, what a person takes from there on,
// and the least of each row.
type outcomeTotals struct {
	total [topTwists][topFlips]uint32
	least [topTwists]uint32
}

// totalsOf has them by how many pieces the person follows in an insertion and by the
// quarters of y that it ends in.
func (f *Forecaster) totalsOf() *[2*lastslot.InSlot + 1][4]outcomeTotals {
	var totals [2*lastslot.InSlot + 1][4]outcomeTotals
	for followed := range totals {
		for turned := range totals[followed] {
			for o := range lastslot.Outcome(lastslot.Outcomes) {
				totals[followed][turned].total[o/topFlips][o%topFlips] = uint32(f.from(o.Turned(turned), followed))
			}
			for i, row := range totals[followed][turned].total {
				totals[followed][turned].least[i] = slices.Min(row[:])
			}
		}
	}
	return &totals
}

// placeValues are the least totals of the cases in which the pair stands in one place.
type placeValues struct {
	totals *[2*lastslot.InSlot + 1][4]outcomeTotals
	slot   lastslot.Slot
	place  int

	least [topTwists][topFlips]uint32
	// most is the greatest of each row.
	most [topTwists]uint32
	// twists and flips are the cases', as cases number them.
	twists [topTwists]int
	flips  [topFlips]int
}

// fill works them out and sets what was there for the cases.
func (p *placeValues) fill(f *Forecaster, view View, all []uint32) {
	corner, twist, edge, flip := p.place/(3*2*lastslot.Spots), p.place/(2*lastslot.Spots)%3, p.place/2%lastslot.Spots, p.place%2
	n := 0
	for twists := range lastslot.CornerTwists {
		if lastslot.TwistsAt(twists)[corner] == twist {
			p.twists[n] = twists
			n++
		}
	}
	n = 0
	for flips := range lastslot.EdgeFlips {
		if lastslot.FlipsAt(flips)[edge] == flip {
			p.flips[n] = flips
			n++
		}
	}
	for i := range p.least {
		p.most[i] = math.MaxUint32
		for j := range p.least[i] {
			p.least[i][j] = math.MaxUint32
		}
	}

	b, own := f.book, f.ownAt(p.slot, p.place)
	usual, changed := f.usual.numbers[p.slot][p.place], f.changed[p.slot]
	listed := b.options[p.slot][p.place]
	for i := range listed {
		w := &listed[i]
		if w.number != doNothing && (view == Known && w.number != usual || changed != nil && changed[w.number/64]>>(w.number%64)&1 == 1 && f.gives(p.slot, w, own)) {
			continue
		}
		p.offer(b, w, uint32(f.insert(w)), f.follows(b.track(w), Unsaid))
	}
	for i := range own {
		if w := &own[i]; view != Known || w.known {
			p.offer(b, &w.bookOption, uint32(w.seconds.Insert()/ms), f.follows(int(w.track), w.predict))
		}
	}

	c := lastslot.Case{Slot: p.slot, Corner: corner, Edge: edge}
	for i, twists := range p.twists {
		c.Twists = lastslot.TwistsAt(twists)
		for j, flips := range p.flips {
			c.Flips = lastslot.FlipsAt(flips)
			all[c.Index()] = p.least[i][j]
		}
	}
}

// offer takes an option where it is less, which takes so long to insert and in which so
// many pieces are followed.
func (p *placeValues) offer(b *Book, w *bookOption, insert uint32, followed int) {
	totals := &p.totals[followed][w.turned]
	corners, edges := &b.cornersLeft[w.corners], &b.edgesLeft[w.edges]
	var left [topFlips]uint8
	for j, flips := range p.flips {
		left[j] = edges[flips] % topFlips
	}
	for i, twists := range p.twists {
		c := corners[twists] % topTwists
		if insert+totals.least[c] >= p.most[i] {
			continue
		}
		row, least := &totals.total[c], &p.least[i]
		most := uint32(0)
		for j, e := range left {
			least[j] = min(least[j], insert+row[e%topFlips])
			most = max(most, least[j])
		}
		p.most[i] = most
	}
}

// Takes is how long the person takes for turns that are estimated to take so long.
func (f *Forecaster) Takes(estimate time.Duration) time.Duration {
	p := Person{Speed: f.speed}
	return p.scaled(estimate)
}

// Prefix is how long the person takes for so many quarters of y, and of U.
func (f *Forecaster) Prefix(rotation, quarters int) (y, u time.Duration) {
	return f.Takes(f.book.rotations[rotation]), f.Takes(f.book.aufs[quarters])
}

// Hands are those that the person turns with.
func (f *Forecaster) Hands() hands.Handed { return f.book.hands }

// Usual says which insertions the person is taken to know.
func (f *Forecaster) Usual() Usual { return f.usualIs }

// Settings tells apart what a person's settings make of [Forecaster.Values]: two whose
// settings are the same have the same values.
func (f *Forecaster) Settings() (sum [sha256.Size]byte) {
	h := sha256.New()
	fmt.Fprintln(h, f.book.hands, f.speed, f.prefixes, f.tracked, f.trackEach, f.predictsAll, f.usualIs)
	for i := range f.after {
		fmt.Fprintln(h, f.after[i].total, f.after[i].recognise)
	}
	for i := range f.own {
		w := &f.own[i]
		fmt.Fprintln(h, w.place, w.turns, w.seconds.Insert(), w.known, w.predict)
	}
	var hidden []slotInsertion
	for of := range f.hidden {
		hidden = append(hidden, of)
	}
	slices.SortFunc(hidden, func(a, b slotInsertion) int {
		return cmp.Or(cmp.Compare(a.slot, b.slot), cmp.Compare(a.number, b.number))
	})
	fmt.Fprintln(h, hidden)
	return [sha256.Size]byte(h.Sum(nil))
}
