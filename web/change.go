package web

import (
	"fmt"
	"strings"
)

// Change is what is put in and what is removed at once: all of it, or nothing.
type Change struct {
	Put, Remove Records
	Sent        Sent
}

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
	for _, n := range r.Names {
		keys = append(keys, n.key())
	}
	for _, s := range r.Sequences {
		keys = append(keys, fmt.Sprintf("sequence %d %s", s.Pattern, s.Turns))
	}
	for _, i := range r.Insertions {
		keys = append(keys, i.key())
	}
	for _, p := range r.Preferences {
		keys = append(keys, "preference "+p.Name)
	}
	return keys
}

func (r Rating) key() string { return fmt.Sprintf("rating %d %s", r.Pattern, r.Step) }

func (n Name) key() string { return fmt.Sprintf("name %d", n.Pattern) }

func (o OwnInsertion) key() string { return fmt.Sprintf("insertion %s %s", o.Slot, o.Turns) }
