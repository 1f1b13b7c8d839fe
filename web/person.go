package web

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/url"
	"strconv"
	"sync"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
)

// keptInsertions is how many insertions all forecasters that are kept have at most,
// somebody without any counted as one with 30: so many take about 54 kB, and half a
// millisecond to make.
const keptInsertions = 30_000

// people keeps what forecasts need of a profile until its records change.
type people struct {
	mu         sync.Mutex
	kept       map[ProfileID]person
	insertions int // that all of them count for
}

type person struct {
	revision   int64
	forecaster *forecast.Forecaster
	insertions int
}

func (p *people) get(id ProfileID, revision int64) (*forecast.Forecaster, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	kept, ok := p.kept[id]
	return kept.forecaster, ok && kept.revision == revision
}

// keep keeps one in the place of others, if need be.
func (p *people) keep(id ProfileID, made person) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.remove(id)
	// Any: a map's order is random.
	for other := range p.kept {
		if p.insertions+made.insertions <= keptInsertions {
			break
		}
		p.remove(other)
	}
	if p.kept == nil {
		p.kept = map[ProfileID]person{}
	}
	p.kept[id] = made
	p.insertions += made.insertions
}

func (p *people) forget(id ProfileID) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.remove(id)
}

func (p *people) remove(id ProfileID) {
	p.insertions -= p.kept[id].insertions
	delete(p.kept, id)
}

// forecaster is the profile's.
func (s *site) forecaster(ctx context.Context, p Profile) (*forecast.Forecaster, error) {
	if kept, ok := s.people.get(p.ID, p.Revision); ok {
		return kept, nil
	}
	p, records, err := s.Store.Records(ctx, p.ID)
	if err != nil {
		return nil, err
	}
	described := personOf(records, s.Log)
	made := s.Book.For(described)
	s.people.keep(p.ID, person{p.Revision, made, max(30, len(described.Insertions))})
	return made, nil
}

// personOf is whom a profile's records describe. A sequence that is not accepted
// any more, as the rules of a later program are stricter, is left out.
func personOf(r Records, log *slog.Logger) *forecast.Person {
	p := forecast.Anyone()
	p.Scale = scaleOf(r.Scale)
	p.Speed, p.Hands = turning(r)
	for _, r := range r.Ratings {
		rated, measured := &p.Ratings[r.Pattern], &p.Times[r.Pattern]
		if r.Step == Recognise {
			rated.Recognise, measured.Recognise = r.Rating, timeOf(r.Time)
		} else {
			rated.Execute, measured.Execute = r.Rating, timeOf(r.Time)
		}
	}
	for _, own := range r.Sequences {
		turns, err := cube.Parse(own.Turns)
		var sequence lastslot.FollowUp
		if err == nil {
			sequence, err = lastslot.CheckSequence(own.Pattern, turns)
		}
		if err != nil {
			log.Warn("a sequence that was kept is not accepted any more", "pattern", own.Pattern, "turns", own.Turns, "error", err)
			continue
		}
		p.Sequences[own.Pattern] = append(p.Sequences[own.Pattern], sequence)
	}
	for _, own := range r.Insertions {
		turns, err := cube.Parse(own.Turns)
		var insertion lastslot.Insertion
		if err == nil {
			insertion, err = lastslot.CheckInsertion(&own.Slot, turns)
		}
		if err != nil {
			log.Warn("an insertion that was kept is not accepted any more", "slot", own.Slot, "turns", own.Turns, "error", err)
			continue
		}
		p.Insertions = append(p.Insertions, forecast.OwnInsertion{Insertion: insertion, Known: own.Known, Hidden: own.Hidden, Execute: own.Rating, Time: timeOf(own.Time)})
	}
	return p
}

// bookOf is the book for the hands that the person turns with.
func (s *site) bookOf(r Records) *forecast.Book {
	_, handed := turning(r)
	return s.Book.With(handed)
}

// turning is how fast the person turns, which every estimate of turning is
// multiplied by, and with which hands. A choice that is not read any more, as the
// rules of a later program are stricter, counts as none.
func turning(r Records) (speed float64, handed hands.Handed) {
	speed = 1
	if chosen, err := strconv.ParseFloat(r.preference("speed"), 64); err == nil {
		speed = chosen
	}
	if chosen, err := hands.Parse(r.preference("hands")); err == nil {
		handed = chosen
	}
	return speed, handed
}

// timeOf is nil for none.
func timeOf(d time.Duration) *time.Duration {
	if d == 0 {
		return nil
	}
	return &d
}

// forecasterFor is the one for whom a request asks: the sharer's where it names a
// share, else the profile's whose key it has. Of somebody without a profile,
// nothing is known.
func (s *site) forecasterFor(r *http.Request, values url.Values, view forecast.View) (f *forecast.Forecaster, own bool, err error) {
	var p Profile
	if values.Has("share") {
		share := values.Get("share")
		if !isSecret(share) {
			return nil, false, noShare()
		}
		p, err = s.Store.Shared(r.Context(), ShareID(share))
		if errors.Is(err, ErrNotFound) {
			return nil, false, noShare()
		}
	} else {
		p, err = s.profileOf(r)
	}
	if err == nil {
		f, err = s.forecaster(r.Context(), p)
	}
	switch {
	case err == nil:
		return f, true, nil
	case errors.Is(err, errNoKey) || errors.Is(err, ErrNotFound):
		if view == forecast.Known {
			return nil, false, unauthorized("view=known needs a profile that has marked insertions: send its key")
		}
		return s.anyone(), false, nil
	}
	return nil, false, err
}
