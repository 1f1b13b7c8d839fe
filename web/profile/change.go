package profile

import (
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"slices"
	"strings"

	"slotcast/forecast"
	"slotcast/web/words"
)

// Change is what is put in and what is removed at once: all of it, or nothing.
type Change struct {
	Put, Remove Records
	// Restore are the ids of withdrawn results that count again.
	Restore []string
	Sent    Sent
	// Read is the revision of the records that the change was made from, nil where
	// it does not depend on them. Where any of them was changed after it the change
	// is [ErrReadAgain].
	Read *int64
}

// ErrReadAgain says that nothing was changed, as the records that the change was
// made from are not what is kept any more: read them again.
var ErrReadAgain = errors.New("the records were changed since they were read")

// Sent is what a device says of a change that it may send late, or twice. The zero
// Sent is that of a change which counts as it comes.
type Sent struct {
	// ID names the change; "" for none. Of two with the same name the second does
	// nothing.
	ID string
	// Device tells the devices of a profile apart, "" for one that does not tell.
	Device string
	// Seen is the profile's revision that the device had seen, nil where that does
	// not matter. A record that another device changed after it is not overwritten.
	Seen *int64
}

// ChangedElsewhereError says that nothing was changed, as another device changed
// records after the one that asked had seen them.
type ChangedElsewhereError struct {
	// Keys are theirs, of those that [Records.Keys] lists.
	Keys []string
}

func (e *ChangedElsewhereError) Error() string {
	return "changed elsewhere meanwhile: " + strings.Join(e.Keys, ", ")
}

// Keys names each of the records by its kind and its key.
func (r Records) Keys() []string {
	var keys []string
	for _, s := range r.Scale {
		keys = append(keys, fmt.Sprintf("scale %s %d", s.Step, s.Rating))
	}
	for _, r := range r.Ratings {
		keys = append(keys, r.key())
	}
	for _, l := range r.Learnt {
		keys = append(keys, l.key())
	}
	for _, p := range r.PLLRatings {
		keys = append(keys, p.key())
	}
	for _, p := range r.PLLSequences {
		keys = append(keys, p.key())
	}
	for _, n := range r.Names {
		keys = append(keys, n.key())
	}
	for _, s := range r.Sequences {
		keys = append(keys, fmt.Sprintf("sequence %d %s", s.Pattern, s.Turns))
	}
	for _, i := range r.Insertions {
		keys = append(keys, i.key())
	}
	for _, s := range r.Steps {
		keys = append(keys, s.key())
	}
	for _, p := range r.Preferences {
		keys = append(keys, "preference "+p.Name)
	}
	for _, k := range r.Kept {
		keys = append(keys, k.key())
	}
	// What was looked up is no change that anybody makes.
	return keys
}

func (r Rating) key() string { return fmt.Sprintf("rating %d %s", r.Pattern, r.Step) }

func (l Learnt) key() string { return fmt.Sprintf("learnt %d", l.Pattern) }

func (p PLLRating) key() string { return "pll-rating " + p.PLL.String() }

func (p PLLSequence) key() string { return "pll-sequence " + p.PLL.String() }

func (n Name) key() string { return fmt.Sprintf("name %d", n.Pattern) }

func (k KeptCase) key() string { return "case " + k.Code }

func (o OwnInsertion) key() string { return fmt.Sprintf("insertion %s %s", o.Slot, o.Turns) }

// OwnerMark tells profiles apart outside. It opens nothing and cannot be turned
// back into the profile's number, which nobody outside is to see.
func OwnerMark(id ID) string {
	hash := sha256.Sum256(fmt.Appendf(nil, "owner %d", id))
	return base64.RawURLEncoding.EncodeToString(hash[:9])
}

// ChangedElsewhere says of each record what is kept and what was wanted.
func ChangedElsewhere(keys []string, kept, wanted Records) string {
	var words []string
	for _, key := range keys {
		subject, there := kept.described(key)
		_, mine := wanted.described(key)
		words = append(words, fmt.Sprintf("%s was changed elsewhere meanwhile: kept %s from there, yours was %s", subject, there, mine))
	}
	return strings.Join(words, "; ")
}

// described says what the record with the key is about and what the records say
// of it, for those that a page changes one by one.
func (r Records) described(key string) (subject, says string) {
	kind, rest, _ := strings.Cut(key, " ")
	says = "nothing"
	switch kind {
	case "rating":
		oll, step, _ := strings.Cut(rest, " ")
		subject, says = fmt.Sprintf("%s, %s,", words.PatternNamed(oll), step), "“not rated”"
		if at := slices.IndexFunc(r.Ratings, func(r Rating) bool { return r.key() == key }); at >= 0 {
			says = words.Rated(r.Ratings[at].Rating, words.Field(r.Ratings[at].Time))
		}
	case "learnt":
		subject = words.PatternNamed(rest)
		if at := slices.IndexFunc(r.Learnt, func(l Learnt) bool { return l.key() == key }); at >= 0 {
			says = "“not learnt”"
			if r.Learnt[at].Learnt {
				says = "“learnt”"
			}
		}
	case "pll-rating":
		subject, says = "PLL "+rest, "“not rated”"
		if at := slices.IndexFunc(r.PLLRatings, func(p PLLRating) bool { return p.key() == key }); at >= 0 {
			says = words.Rated(r.PLLRatings[at].Rating, "")
		}
	case "pll-sequence":
		subject, says = "Your algorithm for PLL "+rest, "the easiest"
		if at := slices.IndexFunc(r.PLLSequences, func(p PLLSequence) bool { return p.key() == key }); at >= 0 {
			says = "“" + r.PLLSequences[at].Turns + "”"
		}
	case "name":
		subject, says = "Your name for "+words.PatternNamed(rest), "none"
		if at := slices.IndexFunc(r.Names, func(n Name) bool { return n.key() == key }); at >= 0 {
			says = "“" + r.Names[at].Name + "”"
		}
	case "insertion":
		_, turns, _ := strings.Cut(rest, " ")
		subject = "The insertion " + turns
		if at := slices.IndexFunc(r.Insertions, func(o OwnInsertion) bool { return o.key() == key }); at >= 0 {
			says = r.Insertions[at].words()
		}
	case "step":
		_, turns, _ := strings.Cut(rest, " ")
		subject = "The step " + turns
		if at := slices.IndexFunc(r.Steps, func(s OwnStep) bool { return s.key() == key }); at >= 0 {
			says = r.Steps[at].words()
		}
	case "case":
		subject, says = "The case "+rest, "not kept"
		if at := slices.IndexFunc(r.Kept, func(k KeptCase) bool { return k.key() == key }); at >= 0 {
			says = "kept"
			if note := r.Kept[at].Note; note != "" {
				says = "“" + note + "”"
			}
		}
	case "preference":
		subject, says = "Your choice of "+rest, "the usual"
		if at := slices.IndexFunc(r.Preferences, func(p Preference) bool { return p.Name == rest }); at >= 0 {
			says = "“" + r.Preferences[at].Value + "”"
		}
	default:
		subject = "A " + key
	}
	return subject, says
}

// words are what is said of the insertion.
func (o OwnInsertion) words() string {
	var said []string
	switch o.Known {
	case forecast.Yes:
		said = append(said, "known")
	case forecast.No:
		said = append(said, "not known")
	}
	switch o.Predict {
	case forecast.Yes:
		said = append(said, "predicted")
	case forecast.No:
		said = append(said, "not predicted")
	}
	if o.Hidden {
		said = append(said, "hidden")
	}
	if o.Time != 0 || o.Rating != 0 {
		said = append(said, words.Rated(o.Rating, words.Field(o.Time)))
	}
	if len(said) == 0 {
		return "“neither known nor rated”"
	}
	return "“" + strings.Join(said, ", ") + "”"
}
