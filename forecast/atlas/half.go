package atlas

import (
	"cmp"
	"context"
	"math/bits"
	"runtime"
	"sync"
	"sync/atomic"

	"slotcast/cube"
)

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
