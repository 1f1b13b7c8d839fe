package profile

import (
	"time"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/pll"
	"slotcast/forecast/practice"
)

// Empty says that there is no record of any kind.
func (r Records) Empty() bool {
	return len(r.Scale)+len(r.Ratings)+len(r.Learnt)+len(r.PLLRatings)+len(r.PLLSequences)+len(r.Names)+len(r.Sequences)+len(r.Insertions)+len(r.Steps)+len(r.Preferences)+len(r.Kept)+len(r.Recent)+len(r.Expected)+len(r.Results) == 0
}

// Profile is what is known of a profile before its records are read.
type Profile struct {
	ID ID
	// Revision grows with every change of the records.
	Revision int64
}

// Records are what a profile has of each kind. Each kind's key is told at its
// fields.
type Records struct {
	Scale        []ScaleStep
	Ratings      []Rating
	Learnt       []Learnt
	PLLRatings   []PLLRating
	PLLSequences []PLLSequence
	Names        []Name
	Sequences    []OwnSequence
	Insertions   []OwnInsertion
	Steps        []OwnStep
	Preferences  []Preference
	// Kept are the cases that the person wants to find again, the last kept first.
	Kept []KeptCase
	// Recent are the cases looked up lately, the last one first: at most MaxRecent.
	Recent []RecentCase
	// Expected is what a solve was expected to take, by the days on which there was practice,
	// the earliest first.
	Expected []Expected
	// Results are of practice: to be counted, each once, or to be withdrawn. There may be
	// too many to be read with the rest: see [Store.Results].
	Results []Result
	// Practised is what all results come to, item by item; it follows from them, and is
	// only read.
	Practised []practice.Practised
}

// Preference is how a person wants a matter to be, where not as is usual.
type Preference struct {
	Name  string // key
	Value string
}

// KeptCase is a case that a person wants to find again.
type KeptCase struct {
	Code  string    // key
	Note  string    // "" for none
	Since time.Time // to the second; that of the first time stays
}

// RecentCase is a case and when it was last looked up, to the millisecond.
type RecentCase struct {
	Code   string // key
	Looked time.Time
}

// ScaleStep is what a rating stands for, where the profile changed it.
type ScaleStep struct {
	Step   forecast.Step // key; of tracking, too
	Rating int           // key, 1 to 5; 0 for tracking
	Time   time.Duration // of recognising and tracking
	Factor float64       // of executing, to the thousandth
}

// Rating is how a person rates a step of a pattern. At least one of the two is
// there; measured seconds count before the rating.
type Rating struct {
	Pattern lastslot.Pattern // key
	Step    forecast.Step    // key
	Rating  int              // 1 to 5, 0 for none
	Time    time.Duration    // 0 for none
}

// Learnt says whether the person has learnt a sequence for a pattern. It counts where they
// say so pattern by pattern.
type Learnt struct {
	Pattern lastslot.Pattern // key
	Learnt  bool
}

// PLLRating is how a person rates a single PLL; it counts before the preference for all.
type PLLRating struct {
	PLL    pll.PLL // key
	Rating int     // 1 to 5
}

// PLLSequence is one that the person does for a PLL, in place of the book's.
type PLLSequence struct {
	PLL   pll.PLL // key
	Turns string
}

// Name is a name of the person's own for a pattern.
type Name struct {
	Pattern lastslot.Pattern // key
	Name    string
}

// OwnSequence is one that the person uses for a pattern.
type OwnSequence struct {
	Pattern lastslot.Pattern // key
	Turns   string           // key
}

// OwnInsertion is what a person says of an insertion.
type OwnInsertion struct {
	Slot  lastslot.Slot // key
	Turns string        // key
	// Own says that the person added it.
	Own bool
	// Known says whether the person has learnt it, Predict whether they predict what it
	// leaves; see [forecast.OwnInsertion] for what counts where nothing is said.
	Known, Predict forecast.Said
	// Hidden says that it is not to be offered.
	Hidden bool
	Rating int           // 1 to 5, 0 for none
	Time   time.Duration // measured; 0 for none
}
