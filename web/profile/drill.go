package profile

import (
	"time"

	"slotcast/forecast/practice"
)

// DrillID is a secret that opens a drill.
type DrillID string

// MaxDrills is how many drills of a profile's are kept; the oldest go.
const MaxDrills = 100

// Drill is the same items in the same order for two people.
type Drill struct {
	ID       DrillID
	Exercise practice.Exercise
	// Items are as an address lists them, and Seed is that of what is left to chance.
	Items string
	Seed  uint64
	// Made is to the millisecond.
	Made time.Time
}

// DrillSeen is a drill as somebody sees it: results only by who takes part.
type DrillSeen struct {
	Drill
	// Mine says that whoever asks made it or is the partner, Taken that somebody is.
	Mine, Taken bool
	// Own are the results of whoever asks, Theirs the other's, the earliest first; those
	// withdrawn are left out.
	Own, Theirs []Result
}
