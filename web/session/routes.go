package session

import (
	"crypto/sha256"
	"sync"

	"slotcast/forecast"
	"slotcast/forecast/routes"
)

// keptValues is how many bytes of values of last-slot cases are kept: those of 64 people,
// by what they know and by everything, unless somebody is slow beyond measure.
const keptValues = 32 << 20

// valuesKept keeps the values until others need their room. Who has the same settings has
// the same values.
type valuesKept struct {
	mu    sync.Mutex
	kept  map[valuesOf]*forecast.Values
	bytes int
	// making is held while values are made: that takes all processors.
	making sync.Mutex
}

type valuesOf struct {
	settings [sha256.Size]byte
	view     forecast.View
}

func (v *valuesKept) get(of valuesOf) *forecast.Values {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.kept[of]
}

func (v *valuesKept) keep(of valuesOf, made *forecast.Values) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.kept == nil {
		v.kept = map[valuesOf]*forecast.Values{}
	}
	// Any: a map's order is random.
	for other, values := range v.kept {
		if v.bytes+made.Bytes() <= keptValues {
			break
		}
		v.bytes -= values.Bytes()
		delete(v.kept, other)
	}
	v.kept[of] = made
	v.bytes += made.Bytes()
}

// Routes ranks routes for whom the forecaster is.
func (s *Sessions) Routes(f *forecast.Forecaster) *routes.Ranking {
	return routes.For(f, func(view forecast.View) *forecast.Values { return s.values.of(f, view) })
}

// of are the forecaster's values.
func (v *valuesKept) of(f *forecast.Forecaster, view forecast.View) *forecast.Values {
	of := valuesOf{f.Settings(), view}
	if kept := v.get(of); kept != nil {
		return kept
	}
	v.making.Lock()
	defer v.making.Unlock()
	if kept := v.get(of); kept != nil {
		return kept
	}
	made := f.Values(view)
	v.keep(of, made)
	return made
}
