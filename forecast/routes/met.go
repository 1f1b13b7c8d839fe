package routes

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"slotcast/forecast/lastslot"
)

//go:embed places/places.tsv
var placesFile string

// Met is in how many of the counted positions somebody who fills the slots met the place of
// the last pair; see places/places.tsv.
func Met(place lastslot.Place) int { return met()[place] }

var met = sync.OnceValue(func() map[lastslot.Place]int {
	counts := make(map[lastslot.Place]int, lastslot.Slots*lastslot.PlacesPerSlot)
	for line := range strings.Lines(placesFile) {
		name, count, ok := strings.Cut(strings.TrimSpace(line), "\t")
		if !ok {
			continue // the remark
		}
		place, err := lastslot.ParsePlace(name)
		if err == nil {
			counts[place], err = strconv.Atoi(count)
		}
		if err != nil {
			// The file is part of the program, and tests read it.
			panic(fmt.Errorf("routes: places.tsv: %w", err))
		}
	}
	return counts
})
