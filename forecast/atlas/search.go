package atlas

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math/bits"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// Level is what the search found of one length.
type Level struct {
	Turns int
	// Rows is the number of rows with so many turns that fill the slot, of which
	// Motions, up to AUF, are not made by a shorter row.
	Rows, Motions int
	// Pairs is how many of the 32,400 x 216 pairs of a case and an outcome need
	// just so many turns, and Oriented in how many of the 32,400 cases the whole
	// top can be oriented in so many and no fewer.
	Pairs, Oriented int
	// Took is the time since the search began.
	Took time.Duration
}

// Progress tells how far the search is within a length.
type Progress struct {
	Turns int
	// Share of the length's work that is done, from 0 to 1.
	Share float64
	// Pairs is how many of the 32,400 x 216 pairs have their insertion.
	Pairs int
	// Left is how long the rest of the length will take at the same pace.
	Left time.Duration
}

// Found is what the search found.
type Found struct {
	Levels []Level
	// Rows has one row for each motion of at most completeTo turns, and every row
	// that an entry names, in order of length, cost and turns.
	Rows []cube.Sequence
	// Entries has, by class and then pattern, the place in Rows.
	Entries []uint32
}

// completeTo is the most turns up to which all motions are kept, so that other
// ways than the shortest can be offered; with 11 there would be four times as many.
const completeTo = 10

// noEntry is an entry that is not filled yet.
const noEntry = ^uint32(0)

// Search finds a shortest insertion for every pair, and tells of each length
// when it is exhausted, and every now and then how far it is. Of equally short ones
// it takes the one that is the easiest for two hands, so that it always finds the
// same.
func Search(ctx context.Context, told func(Level), progress func(Progress)) (*Found, error) {
	return searchTo(ctx, longestRow, told, progress)
}

var errTooShort = errors.New("not every pair has an insertion of so few turns")

// searchTo gives errTooShort, and what was found, where more turns than the
// limit are needed.
func searchTo(ctx context.Context, limit int, told func(Level), progress func(Progress)) (*Found, error) {
	start := time.Now()
	f := newFilling()
	pace := &pace{told: progress, pairs: &f.pairs}
	f.fillFrom(motionOf(nil), nil)
	level := Level{Rows: 1, Motions: 1}
	f.count(&level, 0)
	level.Took = time.Since(start)
	told(level)
	f.found.Levels = append(f.found.Levels, level)
	var halves *halfTable
	for length := 1; f.left > 0; length++ {
		if length > limit {
			return &f.found, fmt.Errorf("%w: %d", errTooShort, limit)
		}
		if second := length / 2; halves == nil || halves.length != second {
			halves = nil // the garbage collector can have it before the next is made
			var err error
			if halves, err = newHalfTable(ctx, second); err != nil {
				return nil, err
			}
		}
		pace.begin(length)
		rows, err := halves.rowsOf(ctx, length, pace)
		if err != nil {
			return nil, err
		}
		level := Level{Turns: length, Rows: len(rows)}
		if err := f.fill(ctx, rows, &level, pace); err != nil {
			return nil, err
		}
		level.Took = time.Since(start)
		told(level)
		f.found.Levels = append(f.found.Levels, level)
	}
	return &f.found, nil
}

// pace tells the progress at most once in every interval.
type pace struct {
	told  func(Progress)
	pairs *int

	mu          sync.Mutex
	turns       int
	start, last time.Time
}

const tellInterval = 5 * time.Second

// joinShare is the part of a length's work that finding its rows is; the rest is
// filling in their pairs. Measured with 12 and 13 turns.
const joinShare = 0.8

func (p *pace) begin(turns int) {
	p.turns, p.start = turns, time.Now()
	p.last = p.start
}

func (p *pace) at(share float64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	now := time.Now()
	if now.Sub(p.last) < tellInterval || share <= 0 {
		return
	}
	p.last = now
	left := time.Duration(float64(now.Sub(p.start)) * (1 - share) / share)
	p.told(Progress{Turns: p.turns, Share: share, Pairs: *p.pairs, Left: left})
}

// filling is the table while it is filled.
type filling struct {
	found   Found
	classes []uint16
	// seen marks the motions, by number, that a row of those before makes.
	seen []uint64
	left int
	// pairs is how many pairs of a case and an outcome are filled.
	pairs int
	// weights has how many cases are in a class, and outcomes in a pattern.
	weights  [Classes]int
	outcomes [lastslot.Patterns]int
	// cases has the numbers of those cases where the motion's pair stands where it
	// must, by the corner and the edge as motions have them.
	cases map[[2]int][]lastslot.Case
}

func newFilling() *filling {
	f := &filling{classes: classOf(), seen: make([]uint64, 15*15*15*15*10_000/64+1), left: Pairs, cases: map[[2]int][]lastslot.Case{}}
	f.found.Entries = slices.Repeat([]uint32{noEntry}, Pairs)
	for index, class := range f.classes {
		f.weights[class]++
		c := lastslot.CaseAt(index)
		place := [2]int{c.Corner*3 + c.Twists[c.Corner], c.Edge*2 + c.Flips[c.Edge]}
		f.cases[place] = append(f.cases[place], c)
	}
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		f.outcomes[o.Pattern()]++
	}
	return f
}

// mark says whether the motion is new, and marks it with all that differ from it
// by AUF only.
func (f *filling) mark(m motion) bool {
	if n := m.number(); f.seen[n/64]>>(n%64)&1 == 1 {
		return false
	}
	for range 4 {
		for range 4 {
			n := m.number()
			f.seen[n/64] |= 1 << (n % 64)
			m = m.turnedAfter()
		}
		m = m.turnedBefore()
	}
	return true
}

// fillFrom fills the entries that are still empty with the row, and says whether
// its motion is new.
func (f *filling) fillFrom(m motion, row cube.Sequence) bool {
	if !f.mark(m) {
		return false
	}
	number := uint32(len(f.found.Rows))
	used := false
	for i := range f.cases[m.place()] {
		c := &f.cases[m.place()][i]
		left, _ := m.fits(c)
		class, pattern := f.classes[c.Index()], left.Pattern()
		entry := &f.found.Entries[int(class)*lastslot.Patterns+int(pattern)]
		if *entry == noEntry {
			*entry, used = number, true
			f.left--
			f.pairs += f.weights[class] * f.outcomes[pattern]
		}
	}
	if used || len(row) <= completeTo {
		f.found.Rows = append(f.found.Rows, row)
	}
	return true
}

// place is how the pair stands that the motion takes into its slot: corner*3 +
// twist and edge*2 + flip.
func (m *motion) place() (p [2]int) {
	const slot = lastslot.InSlot
	for spot := range spots {
		if c := int(m.corners[spot]); c/3 == slot {
			p[0] = spot*3 + (3-c%3)%3
		}
		if e := int(m.edges[spot]); e/2 == slot {
			p[1] = spot*2 + e%2
		}
	}
	return p
}

// fill takes the rows of one length, the easiest first.
func (f *filling) fill(ctx context.Context, rows []packedRow, level *Level, pace *pace) error {
	type estimated struct {
		row   packedRow
		takes time.Duration
	}
	list := make([]estimated, len(rows))
	for i, row := range rows {
		list[i] = estimated{row, hands.Estimate(row.turns(level.Turns), hands.TwoHands)}
	}
	slices.SortFunc(list, func(a, b estimated) int {
		return cmp.Or(cmp.Compare(a.takes, b.takes), cmp.Compare(a.row, b.row))
	})
	first := uint32(len(f.found.Rows))
	for i, p := range list {
		if i&0xfff == 0 {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			pace.at(joinShare + (1-joinShare)*float64(i)/float64(len(list)))
		}
		turns := p.row.turns(level.Turns)
		if f.fillFrom(motionOf(turns), turns) {
			level.Motions++
		}
	}
	f.count(level, first)
	return nil
}

// count counts the pairs whose entries are rows from the first on.
func (f *filling) count(level *Level, first uint32) {
	for i, entry := range f.found.Entries {
		if entry == noEntry || entry < first {
			continue
		}
		class, pattern := i/lastslot.Patterns, i%lastslot.Patterns
		level.Pairs += f.weights[class] * f.outcomes[pattern]
		if pattern == 0 {
			level.Oriented += f.weights[class]
		}
	}
}

// halfTable has every row of a length as the second half of longer rows, undone,
// by where it takes the kept pieces: open addressing, so that all with one key
// stand in a row of filled slots.
type halfTable struct {
	length int
	shift  int
	keys   []uint64 // 0 is an empty slot: no places have this key
	rows   []uint32 // packed: 18^7 < 2^32
}

// newHalfTable lists the halves of the length.
func newHalfTable(ctx context.Context, length int) (*halfTable, error) {
	count := 0
	if err := walk(ctx, length, allTurns, func(*places, packedRow, cube.Turn) { count++ }); err != nil {
		return nil, err
	}
	size := bits.Len(uint(count) + uint(count)/4)
	h := &halfTable{length: length, shift: 64 - size, keys: make([]uint64, 1<<size), rows: make([]uint32, 1<<size)}
	err := walk(ctx, length, allTurns, func(at *places, row packedRow, _ cube.Turn) {
		key := at.key()
		i := h.slot(key)
		for h.keys[i] != 0 {
			i = (i + 1) & (len(h.keys) - 1)
		}
		h.keys[i], h.rows[i] = key, uint32(row)
	})
	return h, err
}

// slot spreads the keys: the multiplier is 2^64 divided by the golden ratio.
func (h *halfTable) slot(key uint64) int { return int(key * 0x9e3779b97f4a7c15 >> h.shift) }

// rowsOf lists every row of the length that keeps the kept pieces, each once:
// its first half is walked, its second looked up.
func (h *halfTable) rowsOf(ctx context.Context, length int, pace *pace) ([]packedRow, error) {
	first := length - h.length
	if first > h.length+1 {
		panic("atlas: a row longer than its halves")
	}
	// Rows that begin with F or B are the mirror images of those with R or L.
	starts := []cube.Turn{}
	for _, t := range allTurns {
		if t.Layer() != cube.F && t.Layer() != cube.B {
			starts = append(starts, t)
		}
	}
	var all []packedRow
	var failed error
	var mu sync.Mutex
	var next atomic.Int32
	var walked atomic.Int64
	total := float64(rowCount(first, starts))
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			var rows []packedRow
			own := 0
			for {
				i := int(next.Add(1)) - 1
				if i >= len(starts) {
					break
				}
				err := walk(ctx, first, starts[i:i+1], func(at *places, row packedRow, last cube.Turn) {
					rows = h.join(rows, at, row, last, first)
					if own++; own%walkedAtOnce == 0 {
						pace.at(joinShare * float64(walked.Add(walkedAtOnce)) / total)
					}
				})
				if err != nil {
					mu.Lock()
					failed = err
					mu.Unlock()
					return
				}
			}
			mu.Lock()
			all = append(all, rows...)
			mu.Unlock()
		})
	}
	workers.Wait()
	return all, failed
}

// walkedAtOnce is after how many first halves the progress is looked at.
const walkedAtOnce = 1 << 14

// rowCount is the number of rows of the length that begin with one of the turns.
func rowCount(length int, starts []cube.Turn) int {
	if length == 0 {
		return 1
	}
	// By the turn that comes last.
	var count [faceTurns]int
	for _, t := range starts {
		count[t] = 1
	}
	for range length - 1 {
		var next [faceTurns]int
		for last, n := range count {
			for t := range next {
				if mayFollow(cube.Turn(last), cube.Turn(t)) {
					next[t] += n
				}
			}
		}
		count = next
	}
	sum := 0
	for _, n := range count {
		sum += n
	}
	return sum
}

// join adds every whole row that begins with the first half, and its mirror
// image where that is not walked itself.
func (h *halfTable) join(rows []packedRow, at *places, row packedRow, last cube.Turn, first int) []packedRow {
	key := at.key()
	for i := h.slot(key); h.keys[i] != 0; i = (i + 1) & (len(h.keys) - 1) {
		if h.keys[i] != key {
			continue
		}
		second := inOrder(packedRow(h.rows[i]).turns(h.length).Inverse())
		if len(second) == 0 || !mayFollow(last, second[0]) {
			continue
		}
		whole := append(row.turns(first), second...)
		if turnsTopAtEnd(whole) {
			continue
		}
		rows = append(rows, pack(whole))
		if layer := whole[0].Layer(); layer == cube.R || layer == cube.L {
			rows = append(rows, pack(mirrored(whole)))
		}
	}
	return rows
}

// turnsTopAtEnd says whether a row ends with U, or with U and D.
func turnsTopAtEnd(s cube.Sequence) bool {
	n := len(s)
	return s[n-1].Layer() == cube.U || n > 1 && s[n-1].Layer() == cube.D && s[n-2].Layer() == cube.U
}

// allTurns are the turns that a row may begin with: all but those of U.
var allTurns = func() (turns []cube.Turn) {
	for t := range cube.Turn(faceTurns) {
		if t.Layer() != cube.U {
			turns = append(turns, t)
		}
	}
	return turns
}()

// walk calls with every row of the length that begins with one of the turns:
// where it takes the kept pieces, the row, and its last turn.
func walk(ctx context.Context, length int, starts []cube.Turn, with func(at *places, row packedRow, last cube.Turn)) error {
	if length == 0 {
		at := home
		with(&at, 0, cube.TurnOf(cube.U, 1))
		return nil
	}
	var cancelled error
	var step func(at *places, row packedRow, last cube.Turn, left int)
	step = func(at *places, row packedRow, last cube.Turn, left int) {
		if left == 0 {
			with(at, row, last)
			return
		}
		if left > 3 {
			if cancelled = cmp.Or(cancelled, ctx.Err()); cancelled != nil {
				return
			}
		}
		for t := range cube.Turn(faceTurns) {
			if mayFollow(last, t) {
				turned := at.turn(t)
				step(&turned, row*faceTurns+packedRow(t), t, left-1)
			}
		}
	}
	for _, t := range starts {
		turned := home.turn(t)
		step(&turned, packedRow(t), t, length-1)
	}
	return cancelled
}
