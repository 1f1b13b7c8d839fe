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

// keptInsertions is how many insertions all forecasters that are kept have at most,
// somebody without any counted as one with 30: so many take about 60 kB, or 85 where
// several looks are needed, and a millisecond to make.
const keptInsertions = 30_000

// people keeps what forecasts need of a profile until its records change.
type people struct {
	mu         sync.Mutex
	kept       map[profile.ID]person
	insertions int // that all of them count for
}

type person struct {
	revision   int64
	forecaster *forecast.Forecaster
	insertions int
}

func (p *people) get(id profile.ID, revision int64) (*forecast.Forecaster, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	kept, ok := p.kept[id]
	return kept.forecaster, ok && kept.revision == revision
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

// Forecaster is the profile's.
func (s *Sessions) Forecaster(ctx context.Context, p profile.Profile) (*forecast.Forecaster, error) {
	if kept, ok := s.people.get(p.ID, p.Revision); ok {
		return kept, nil
	}
	p, records, err := s.store.Records(ctx, p.ID)
	if err != nil {
		return nil, err
	}
	described := profile.PersonOf(records, s.log)
	made := s.book.For(described)
	s.people.keep(p.ID, person{p.Revision, made, max(30, len(described.Insertions))})
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
