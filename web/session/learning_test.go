package session

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/profile"
)

// A list is made once for as long as nothing was changed, whichever page asks for it.
func TestListsAreKeptWhileNothingChanges(t *testing.T) {
	book, err := forecast.Load()
	require.NoError(t, err)
	s := &Sessions{book: book}
	f := book.For(forecast.Anyone())
	place := lastslot.Places(lastslot.FR)[3]
	p := profile.Profile{ID: 1, Revision: 1}
	made := func(p *profile.Profile) *forecast.Forecaster {
		list, err := s.LearningList(t.Context(), p, f, place)
		require.NoError(t, err)
		// One that is kept needs no forecaster.
		again, err := s.LearningList(t.Context(), p, nil, place)
		require.NoError(t, err)
		assert.Equal(t, list, again)
		return f
	}
	made(&p)
	made(nil)
	lists, err := s.LearningLists(t.Context(), &p, f, lastslot.FR)
	require.NoError(t, err)
	again, err := s.LearningLists(t.Context(), &p, nil, lastslot.FR)
	require.NoError(t, err)
	assert.Equal(t, lists, again)
	assert.Len(t, s.learning.kept, 2)

	p.Revision++
	assert.Panics(t, func() { _, _ = s.LearningList(t.Context(), &p, nil, place) }, "something was changed: it is made anew")
	made(&p)
	assert.Len(t, s.learning.kept, 2, "those of before have no use any more")
	for id := range profile.ID(200) {
		s.learning.keep(listsOf{id: 10 + id}, lists[0])
		assert.LessOrEqual(t, len(s.learning.kept), keptLists+1)
	}
	_, kept := s.learning.get(listsOf{slot: lastslot.FR}, place)
	assert.True(t, kept, "nobody's are asked for most")
}
