package forecast

import (
	"time"

	"slotcast/cube"
)

// Seconds of execution are kept as whole milliseconds, so that sums are exact
// and the order of a ranking does not depend on rounding.
const ms = time.Millisecond

// turnCosts estimates how long a practised solver takes for a turn amid others:
// clockwise, half and anticlockwise. An estimate of this project's own (common
// practice, no source); a time measured by its owner replaces it. Left and
// right cost the same, so that a mirrored insertion costs what the first does.
var turnCosts = [cube.Layers][3]time.Duration{
	cube.U: {110 * ms, 160 * ms, 110 * ms}, // one flick of a free index finger
	cube.R: {120 * ms, 190 * ms, 120 * ms}, // a wrist turn, fingers stay in place
	cube.L: {120 * ms, 190 * ms, 120 * ms}, // the same with the other hand
	cube.F: {170 * ms, 260 * ms, 170 * ms}, // index finger or thumb reaches over the front
	cube.D: {170 * ms, 260 * ms, 170 * ms}, // ring finger, the weakest flick
	cube.B: {280 * ms, 430 * ms, 280 * ms}, // out of sight, and a finger leaves its place

	cube.Rw: {150 * ms, 240 * ms, 150 * ms}, // as R, but the other hand's grip moves too
	cube.Lw: {150 * ms, 240 * ms, 150 * ms},
	cube.Uw: {220 * ms, 330 * ms, 220 * ms}, // two layers under one finger, and a new front to look at
	cube.Dw: {230 * ms, 340 * ms, 230 * ms},
	cube.Fw: {200 * ms, 310 * ms, 200 * ms},
	cube.Bw: {320 * ms, 480 * ms, 320 * ms},

	cube.M: {190 * ms, 190 * ms, 140 * ms}, // M' and M2 are flicked from behind, M is pulled
	cube.E: {260 * ms, 400 * ms, 260 * ms}, // fingers of both hands between the layers
	cube.S: {300 * ms, 450 * ms, 300 * ms}, // the same, turned away from the hands

	cube.Y: {300 * ms, 450 * ms, 300 * ms}, // both hands regrip and the eyes look anew
	cube.X: {350 * ms, 500 * ms, 350 * ms},
	cube.Z: {350 * ms, 500 * ms, 350 * ms},
}

// Cost estimates how long the sequence takes to execute.
func Cost(s cube.Sequence) time.Duration {
	var total time.Duration
	for _, t := range s {
		total += turnCosts[t.Layer()][t.Quarters()-1]
	}
	return total
}
