package profile

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"slotcast/forecast/practice"
	"slotcast/web/problem"
)

// DeviceLinkLife is how long a device link can be used: enough to walk to the
// other device, too short to be found in a history later.
const DeviceLinkLife = 10 * time.Minute

// Store keeps what people tell. Whoever asks has read and verified what is put
// in. What a method has returned without an error stays; what it returned an
// error for is there whole or not at all. Every method returns [ErrNotFound] where
// that of which it is asked is not there, a [*UnavailableError] where the store cannot
// be used or takes more than about five seconds, and [context.Canceled] where whoever
// asked went away.
type Store interface {
	// NewProfile makes an empty profile that the key opens.
	NewProfile(ctx context.Context, key KeyHash) error
	// Profile is the profile that the key opens.
	Profile(ctx context.Context, key KeyHash) (Profile, error)
	// DeleteProfile deletes the profile with all that is in it and leads to it.
	DeleteProfile(context.Context, ID) error

	// Records are all of the profile's, as they were at one moment.
	Records(context.Context, ID) (Profile, Records, error)
	// Recent are the cases that the profile looked up lately, the last first: of its
	// records those that have no revision. Of a profile that is not there, there are none.
	Recent(context.Context, ID) ([]RecentCase, error)
	// Put adds the records, each in place of the one with the same key; others
	// stay. Of a record that is given twice the later one counts, of a result the first.
	// Where the profile would have more of a kind than it may, it is a [*FullError].
	Put(context.Context, ID, Records) error
	// Remove removes the records with these keys, whatever else they say. Results with
	// these ids are withdrawn: they stay, and count no more.
	Remove(context.Context, ID, Records) error
	// Change puts in and removes at once, as the device that sends it wants, and
	// returns the profile as it is then. Where others changed a record meanwhile it
	// changes nothing and returns a [*ChangedElsewhereError], and where it was made
	// from records that are not what is kept any more, [ErrReadAgain].
	Change(context.Context, ID, Change) (Profile, error)

	// Results are the profile's that are asked for, the newest first.
	Results(context.Context, ID, ResultsAsked) ([]Result, error)
	// Progress is what the results of the week and those after it come to.
	Progress(context.Context, ID, practice.Week) (Progress, error)
	// NewDrill keeps a drill, of which only the newest of a profile's stay.
	NewDrill(context.Context, ID, Drill) error
	// Drill is the drill as the profile sees it; 0 is for who has none.
	Drill(context.Context, DrillID, ID) (DrillSeen, error)
	// AddResults counts those that are not there yet, and returns these with their grades.
	AddResults(context.Context, ID, []Result) ([]Result, error)
	// ForgetResults removes all results with what they come to, and what was expected then.
	ForgetResults(context.Context, ID) error

	// Visit puts a case first among those looked up lately. No forecast depends on
	// these, so that the revision stays as it is.
	Visit(ctx context.Context, id ID, code string, at time.Time) error

	// Keys are the profile's, the oldest first.
	Keys(context.Context, ID) ([]Key, error)
	// NameKey names one of the profile's keys, "" for no name.
	NameKey(ctx context.Context, id ID, key KeyID, name string) error
	// RevokeKey makes one of the profile's keys open nothing any more, and its device
	// links too. The last one is [ErrLastKey].
	RevokeKey(context.Context, ID, KeyID) error

	// NewDeviceLink makes a link that gives another key to the profile, once. It is a
	// [*FullError] where the profile has MaxDeviceLinks that can still be used.
	NewDeviceLink(ctx context.Context, id ID, token KeyHash, expires time.Time) error
	// UseDeviceLink uses the link up, and makes the key open its profile too. It is a
	// [*FullError] where the profile has MaxKeys.
	UseDeviceLink(ctx context.Context, token, key KeyHash) error

	// NewShare lets whoever has the share's id see how the profile ranks. It is a
	// [*FullError] where the profile has MaxShares.
	NewShare(context.Context, ID, ShareID) error
	Shares(context.Context, ID) ([]ShareID, error)
	// Shared is the profile that has the share.
	Shared(context.Context, ShareID) (Profile, error)
	RevokeShare(context.Context, ID, ShareID) error
}

// ErrNotFound says that what was asked for is not in the store: it never was,
// was deleted, was used up, or has expired.
var ErrNotFound error = notFound{}

type notFound struct{}

func (notFound) Error() string { return "not in the store" }

// Problem is for who asks nothing closer: of a profile that was there when its request
// began, it was deleted meanwhile.
func (notFound) Problem() *problem.Problem {
	return &problem.Problem{Status: http.StatusNotFound, Title: "No profile", Detail: "this profile has been deleted, here or on another device"}
}

// The most records that a profile has of a kind. Those of the other kinds are
// bounded by their keys.
const (
	// MaxSequences is for each pattern, and each is weighed in every forecast; so are
	// insertions.
	MaxSequences  = 20
	MaxInsertions = 2000
	// MaxSteps is the most steps of which anything is said.
	MaxSteps = 1000
	MaxKept  = 1000
	// MaxRecent is how many cases looked up lately are known; the oldest go.
	MaxRecent = 50
	MaxShares = 100
	// MaxExpected is one a day for eleven years.
	MaxExpected = 4_000
	// MaxResults is thirty a day for nine years, and MaxPractised how many items of an
	// exercise they can be of.
	MaxResults   = 100_000
	MaxPractised = 3000
	// ResultsAtOnce is how many results of a file are put in with one change: with all, others
	// would wait too long for their turn.
	ResultsAtOnce = 5000
	// MaxKeys is for more devices than a person has; each key stays until it is revoked.
	MaxKeys = 100
	// MaxDeviceLinks are those that can be used at the same time.
	MaxDeviceLinks = 20
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

// Problem says the same to whoever wanted one more.
func (e *FullError) Problem() *problem.Problem {
	return &problem.Problem{Status: http.StatusUnprocessableEntity, Title: "No room", Detail: "nothing was changed: " + e.Error()}
}

// KeyHash is the SHA-256 of a secret, which itself is never stored. A secret has
// 128 random bits, so nobody can try them all, and a slow hash would only cost
// time with each request.
type KeyHash [32]byte

// ID tells profiles apart inside; nobody outside sees it.
type ID int64

// ShareID is the public name of a share, made of 128 random bits.
type ShareID string
