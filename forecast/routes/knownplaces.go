package routes

import (
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
)

// never is how many milliseconds a place takes where no way is known.
const never = int32(1) << 29

// jointPlaces has a number for each place of the first slot's pair and each of the second's.
type jointPlaces [twoslots.PairPlaces * twoslots.PairPlaces]int32

// knownPlaces has the quickest way that a person knows from every joint place of two pairs,
// where they see these and not how the rest is turned.
type knownPlaces struct {
	*Ranking
	table *table
	own   []ownRow
	// left is how many milliseconds are left, by which slot is filled, by the hold in which
	// its turns end, and by where the other pair is after them, seen from before.
	left [2][4][twoslots.PairPlaces]int32
	// now is how many milliseconds the quickest way takes that is known by now. Turned has
	// the same by the second pair's place and then the first one's.
	now, turned jointPlaces
	// rotations and aufs are milliseconds for y and U by so many quarters.
	rotations, aufs [4]int32
}

// knownPlaces has the quickest known way of every joint place.
func (r *Ranking) knownPlaces(open twoslots.Open) *knownPlaces {
	k := &knownPlaces{Ranking: r, table: tables[r.forecaster.Hands()][open]()}
	k.own = r.own[open]().rows
	for n := range k.rotations {
		k.rotations[n], k.aufs[n] = int32(r.rotations[n]/time.Millisecond), int32(r.aufs[n]/time.Millisecond)
	}
	k.leave()
	k.know()
	return k
}

// sum adds up what all places take where a way is known, and counts these.
func (k *knownPlaces) sum() (sum, places int64) {
	for _, ms := range k.now {
		if ms < never {
			sum += int64(ms)
			places++
		}
	}
	return sum, places
}

// leave works out what is left.
func (k *knownPlaces) leave() {
	open := k.table.open
	means := meansOf(k.values(forecast.Known))
	solved := twoslots.CaseOf(cube.Solved, open)
	for which, slot := range open.Slots() {
		home := solved.PairPlace(slot)
		for place := range twoslots.PairPlaces {
			places := [2]int{home, place}
			if which == 1 {
				places = [2]int{place, home}
			}
			c, ok := twoslots.AtPlaces(open, places, 0)
			for turned := range k.left[which] {
				k.left[which][turned][place] = never
				if !ok {
					continue
				}
				seen := c.TurnedRound(turned)
				last := seen.Last(lastslot.Slot((int(slot) + turned) & 3))
				if mean := means.places[pairPlace(&last)]; mean >= 0 {
					k.left[which][turned][place] = int32(mean / time.Millisecond)
				}
			}
		}
	}
}

// know works out the quickest known way of every joint place.
func (k *knownPlaces) know() {
	for i := range k.now {
		k.now[i], k.turned[i] = never, never
	}
	offer := func(which int, place int, does *twoslots.Map, turned int, takes int32) {
		k.each(which, place, does, turned, takes, k.learn)
	}
	open := k.table.open
	for which, slot := range open.Slots() {
		for place := range twoslots.PairPlaces {
			pair, alone := k.alone(which, place)
			if alone {
				options := k.forecaster.Forecast(forecast.Request{Case: pair, View: forecast.Known})
				for i := range options {
					effect, hold := lastslot.Effect(options[i].Turns)
					does := twoslots.MapOf(effect, open)
					offer(which, place, &does, int(hold), int32(options[i].Seconds.Insert()/time.Millisecond))
				}
				continue
			}
			u := k.forecaster.Usual()
			if u == forecast.UsualNone {
				continue
			}
			usual := k.table.usual[u][which][place]
			if usual.row < 0 {
				continue
			}
			row := &k.table.rows[usual.row]
			takes := k.takesMs(row)
			if own := k.said(usual.row); own != nil {
				if own.said.Known != forecast.Unsaid || own.said.Hidden {
					continue
				}
				takes = k.ownMs(own)
			}
			whole := twoslots.AUFMaps[usual.quarters].Then(&row.does)
			offer(which, place, &whole, int(row.turned), k.rotations[row.rotation]+k.aufs[usual.quarters]+takes)
		}
		for i := range k.own {
			own := &k.own[i]
			if own.said.Known != forecast.Yes || own.said.Hidden {
				continue
			}
			for quarters := range twoslots.AUFMaps {
				whole := twoslots.AUFMaps[quarters].Then(&own.does)
				offer(which, whole.FilledFrom(open, slot), &whole, int(own.turned), k.rotations[own.rotation]+k.aufs[quarters]+k.ownMs(own))
			}
		}
	}
}

// alone is a last-slot case with the slot's pair in the place, as [twoslots.Case.Alone] has it.
func (k *knownPlaces) alone(which, place int) (lastslot.Case, bool) {
	for other := range twoslots.PairPlaces {
		places := [2]int{place, other}
		if which == 1 {
			places = [2]int{other, place}
		}
		if c, ok := twoslots.AtPlaces(k.table.open, places, 0); ok {
			return c.Alone(k.table.open.Slots()[which])
		}
	}
	return lastslot.Case{}, false
}

// said is what the person says of a row of the table, nil for nothing.
func (k *knownPlaces) said(number int32) *ownRow {
	for i := range k.own {
		if k.own[i].number == number {
			return &k.own[i]
		}
	}
	return nil
}

func (k *knownPlaces) takesMs(row *tableRow) int32 {
	return int32(k.forecaster.Takes(time.Duration(row.ms)*time.Millisecond) / time.Millisecond)
}

func (k *knownPlaces) ownMs(own *ownRow) int32 {
	if own.said.Time != nil {
		return int32(*own.said.Time / time.Millisecond)
	}
	return k.takesMs(&own.tableRow)
}

// each goes through the places of the other pair, where that of the slot is in the place
// from which the map fills it, and says how long it takes then: joint is the number of both.
func (k *knownPlaces) each(which, place int, does *twoslots.Map, turned int, takes int32, to func(first, second int, takes int32)) {
	corners, edges := moved(does)
	left := &k.left[which][turned]
	for corner, cornerTo := range corners {
		if corner/3 == place/(2*twoslots.Spots)/3 {
			continue
		}
		for edge, edgeTo := range edges {
			if edge/2 == place%(2*twoslots.Spots)/2 {
				continue
			}
			ms := left[cornerTo+edgeTo]
			if ms == never {
				continue
			}
			other := corner*2*twoslots.Spots + edge
			if which == 0 {
				to(place, other, takes+ms)
			} else {
				to(other, place, takes+ms)
			}
		}
	}
}

// moved is where a map brings the corner and the edge of a pair, by their parts of its place.
func moved(does *twoslots.Map) (corners [3 * twoslots.Spots]int, edges [2 * twoslots.Spots]int) {
	for spot := range twoslots.Spots {
		corner, edge := int(does.Corners[spot]), int(does.Edges[spot])
		for twist := range 3 {
			corners[corner/3*3+twist] = (spot*3 + (twist+corner)%3) * 2 * twoslots.Spots
		}
		for flip := range 2 {
			edges[edge/2*2+flip] = spot*2 + (flip+edge)%2
		}
	}
	return corners, edges
}

// learn lowers what a joint place takes.
func (k *knownPlaces) learn(first, second int, takes int32) {
	joint := first*twoslots.PairPlaces + second
	if takes < k.now[joint] {
		k.now[joint] = takes
		k.turned[second*twoslots.PairPlaces+first] = takes
	}
}
