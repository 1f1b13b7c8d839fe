package web

import (
	"context"
	"errors"
	"fmt"
	"time"

	"slotcast/forecast/lastslot"
)

// Store keeps what people tell. Whoever asks has read and verified what is put
// in. What a method has returned without an error stays; what it returned an
// error for is there whole or not at all. Every method returns [ErrNotFound] where
// that of which it is asked is not there.
type Store interface {
	// NewProfile makes an empty profile that the key opens.
	NewProfile(ctx context.Context, key KeyHash) error
	// Profile is the profile that the key opens.
	Profile(ctx context.Context, key KeyHash) (Profile, error)
	// DeleteProfile deletes the profile with all that is in it and leads to it.
	DeleteProfile(context.Context, ProfileID) error

	// Records are all of the profile's, as they were at one moment.
	Records(context.Context, ProfileID) (Profile, Records, error)
	// Put adds the records, each in place of the one with the same key; others
	// stay. Of a record that is given twice the later one counts. Where the profile
	// would have more of a kind than it may, it is a [*FullError].
	Put(context.Context, ProfileID, Records) error
	// Remove removes the records with these keys, whatever else they say.
	Remove(context.Context, ProfileID, Records) error
	// Change puts in and removes at once, as the device that sends it wants, and
	// returns the profile as it is then. Where others changed a record meanwhile it
	// changes nothing and returns a [*ChangedElsewhereError], and where it was made
	// from records that are not what is kept any more, [ErrReadAgain].
	Change(context.Context, ProfileID, Change) (Profile, error)

	// Look puts a case first among those looked up lately. No forecast depends on
	// these, so that the revision stays as it is.
	Look(ctx context.Context, id ProfileID, code string, at time.Time) error

	// NewDeviceLink makes a link that gives another key to the profile, once.
	NewDeviceLink(ctx context.Context, id ProfileID, token KeyHash, expires time.Time) error
	// UseDeviceLink uses the link up, and makes the key open its profile too.
	UseDeviceLink(ctx context.Context, token, key KeyHash) error

	// NewShare lets whoever has the share's id see how the profile ranks. It is a
	// [*FullError] where the profile has MaxShares.
	NewShare(context.Context, ProfileID, ShareID) error
	Shares(context.Context, ProfileID) ([]ShareID, error)
	// Shared is the profile that has the share.
	Shared(context.Context, ShareID) (Profile, error)
	RevokeShare(context.Context, ProfileID, ShareID) error
}

// ErrNotFound says that what was asked for is not in the store: it never was,
// was deleted, was used up, or has expired.
var ErrNotFound = errors.New("not in the store")

// The most records that a profile has of a kind. Those of the other kinds are
// bounded by their keys.
const (
	// MaxSequences is for each pattern, and each is weighed in every forecast; so are
	// insertions.
	MaxSequences  = 20
	MaxInsertions = 2000
	MaxKept       = 1000
	// MaxRecent is how many cases looked up lately are known; the oldest go.
	MaxRecent = 50
	MaxShares = 100
)

// FullError says that a profile has as many of a kind as it may have.
type FullError struct {
	// Kind is what there would be too many of, as in “20 sequences for a pattern”.
	Kind string
	Max  int
}

func (e *FullError) Error() string {
	return fmt.Sprintf("a profile keeps at most %d %s; remove some first", e.Max, e.Kind)
}

// KeyHash is the SHA-256 of a secret, which itself is never stored. A secret has
// 128 random bits, so nobody can try them all, and a slow hash would only cost
// time with each request.
type KeyHash [32]byte

// ProfileID tells profiles apart inside; nobody outside sees it.
type ProfileID int64

// ShareID is the public name of a share, made of 128 random bits.
type ShareID string

// Profile is what is known of a profile before its records are read.
type Profile struct {
	ID ProfileID
	// Revision grows with every change of the records.
	Revision int64
}

// Records are what a profile has of each kind. Each kind's key is told at its
// fields.
type Records struct {
	Scale       []ScaleStep
	Ratings     []Rating
	Names       []Name
	Sequences   []OwnSequence
	Insertions  []OwnInsertion
	Preferences []Preference
	// Kept are the cases that the person wants to find again, the last kept first.
	Kept []KeptCase
	// Recent are the cases looked up lately, the last one first: at most MaxRecent.
	Recent []RecentCase
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

// Step is a part of the time for a pattern that a person rates.
type Step string

// The steps.
const (
	Recognise Step = "recognise"
	Execute   Step = "execute"
)

// ScaleStep is what a rating stands for, where the profile changed it.
type ScaleStep struct {
	Step   Step // key
	Rating int  // key, 1 to 5
	Time   time.Duration
}

// Rating is how a person rates a step of a pattern. At least one of the two is
// there; measured seconds count before the rating.
type Rating struct {
	Pattern lastslot.Pattern // key
	Step    Step             // key
	Rating  int              // 1 to 5, 0 for none
	Time    time.Duration    // 0 for none
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
	// Known says that the person has learnt it, Hidden that it is not to be
	// offered.
	Known, Hidden bool
	Rating        int           // 1 to 5, 0 for none
	Time          time.Duration // measured; 0 for none
}
