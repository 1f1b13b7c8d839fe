package session

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"sync"

	"slotcast/forecast"
	"slotcast/web/problem"
	"slotcast/web/profile"
)

// NoShare is the problem of a share that was taken back, or never was.
func NoShare() *problem.Problem {
	return &problem.Problem{Status: http.StatusNotFound, Title: "No such share", Detail: "the share has been revoked, or never existed", Field: "share"}
}

// keptInsertions is how many insertions all people who are kept have at most, with
// their cases and sequences counted as such, and somebody without any as one with 30:
// so many take about 54 kB in a forecaster, or 80 where several looks are needed, and half
// a millisecond to make.
const keptInsertions = 30_000

// people keeps what a profile says, and its forecaster, until its records change.
type people struct {
	mu         sync.Mutex
	kept       map[profile.ID]person
	insertions int // that all of them count for
}

type person struct {
	revision int64
	// records are all but the cases looked up, which have no revision. Nobody changes
	// them: they are everybody's who asks for the profile.
	records profile.Records
	// forecaster is nil until it is needed.
	forecaster *forecast.Forecaster
	insertions int
}

func (p *people) get(id profile.ID, revision int64) (person, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	kept, ok := p.kept[id]
	return kept, ok && kept.revision == revision
}

// keep keeps one in the place of others, if need be.
func (p *people) keep(id profile.ID, made person) {
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
		p.kept = map[profile.ID]person{}
	}
	p.kept[id] = made
	p.insertions += made.insertions
}

func (p *people) forget(id profile.ID) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.remove(id)
}

func (p *people) remove(id profile.ID) {
	p.insertions -= p.kept[id].insertions
	delete(p.kept, id)
}

// Forget drops what is kept in memory of a profile that was deleted.
func (s *Sessions) Forget(id profile.ID) { s.people.forget(id) }

// Anyone makes the forecasts for those of whom nothing is known.
func (s *Sessions) Anyone() *forecast.Forecaster { return s.anyone() }

// records are what the profile says, from memory where nothing was changed since: all
// but the cases looked up, and these too where they are wanted.
func (s *Sessions) records(ctx context.Context, p profile.Profile, recent bool) (profile.Profile, profile.Records, error) {
	kept, ok := s.people.get(p.ID, p.Revision)
	if !ok {
		p, records, err := s.store.Records(ctx, p.ID)
		if err != nil {
			return profile.Profile{}, profile.Records{}, err
		}
		s.people.keep(p.ID, personWith(p.Revision, records, nil))
		return p, records, nil
	}
	records := kept.records
	if recent {
		var err error
		if records.Recent, err = s.store.Recent(ctx, p.ID); err != nil {
			return profile.Profile{}, profile.Records{}, err
		}
	}
	return p, records, nil
}

func personWith(revision int64, records profile.Records, f *forecast.Forecaster) person {
	records.Recent = nil
	return person{revision, records, f, max(30, len(records.Insertions)+len(records.Kept)+len(records.Sequences)+len(records.Practised))}
}

// Forecaster is the profile's.
func (s *Sessions) Forecaster(ctx context.Context, p profile.Profile) (*forecast.Forecaster, error) {
	if kept, ok := s.people.get(p.ID, p.Revision); ok && kept.forecaster != nil {
		return kept.forecaster, nil
	}
	p, records, err := s.records(ctx, p, false)
	if err != nil {
		return nil, err
	}
	made := s.book.For(profile.PersonOf(s.book, records, s.log))
	s.people.keep(p.ID, personWith(p.Revision, records, made))
	return made, nil
}

// ForecasterFor is the one for whom a request asks: the sharer's where it names a
// share, else the profile's whose key it has. Of somebody without a profile,
// nothing is known but what is usual.
func (s *Sessions) ForecasterFor(r *http.Request, values url.Values) (f *forecast.Forecaster, own bool, err error) {
	var p profile.Profile
	if values.Has("share") {
		share := values.Get("share")
		if !profile.IsSecret(share) {
			return nil, false, NoShare()
		}
		p, err = s.store.Shared(r.Context(), profile.ShareID(share))
		if errors.Is(err, profile.ErrNotFound) {
			return nil, false, NoShare()
		}
	} else {
		p, err = s.ProfileOf(r)
	}
	if err == nil {
		f, err = s.Forecaster(r.Context(), p)
	}
	switch {
	case err == nil:
		return f, true, nil
	case errors.Is(err, ErrNoKey) || errors.Is(err, profile.ErrNotFound):
		return s.Anyone(), false, nil
	}
	return nil, false, err
}
