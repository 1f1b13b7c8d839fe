package atlas

import (
	"sync"
	"time"
)

// Level is what the search found of one length.
type Level struct {
	Turns int
	// Rows is the number of rows with so many turns that fill the slot, of which
	// Maps, up to AUF, no shorter row has.
	Rows, Maps int
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

// pace tells the progress at most once in every interval.
type pace struct {
	report func(Progress)
	pairs  *int

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
	p.report(Progress{Turns: p.turns, Share: share, Pairs: *p.pairs, Left: left})
}
