package session

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/web/profile"
)

// A list is made once for as long as nothing was changed, whichever page asks for it.
func TestListsAreKeptWhileNothingChanges(t *testing.T) {
	book := forecasttest.Book()
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
		s.learning.keep(listsOf{id: 10 + id}, func(kept *toLearn) { kept.lists[place] = lists[0] })
		assert.LessOrEqual(t, len(s.learning.kept), keptLists+1)
	}
	_, kept := s.learning.get(listsOf{slot: lastslot.FR}, place)
	assert.True(t, kept, "nobody's are asked for most")
}

// So are the steps to learn with two slots open.
func TestStepsToLearnAreKeptWhileNothingChanges(t *testing.T) {
	book := forecasttest.Book()
	s := &Sessions{book: book}
	f := book.For(forecast.Anyone())
	p := profile.Profile{ID: 1, Revision: 1}
	for _, open := range []twoslots.Open{twoslots.OpenOf(lastslot.FR, lastslot.FL), twoslots.OpenOf(lastslot.FR, lastslot.BL)} {
		steps, err := s.LearningSteps(t.Context(), &p, f, open)
		require.NoError(t, err)
		assert.Equal(t, open, steps.Open)
		assert.Len(t, steps.Next, StepsToLearn)
		// What is kept needs no forecaster.
		again, err := s.LearningSteps(t.Context(), &p, nil, open)
		require.NoError(t, err)
		assert.Same(t, steps, again)
	}
	p.Revision++
	assert.Panics(t, func() { _, _ = s.LearningSteps(t.Context(), &p, nil, 0) }, "something was changed: they are made anew")
}

// So is what pays, which takes as long as all the lists.
func TestWhatPaysIsKeptWhileNothingChanges(t *testing.T) {
	book := forecasttest.Book()
	s := &Sessions{book: book}
	person := forecast.Anyone()
	f := book.For(person)
	p := profile.Profile{ID: 1, Revision: 1}
	pays, err := s.Paying(t.Context(), &p, f, person, lastslot.FR)
	require.NoError(t, err)
	require.NotEmpty(t, pays.Advice)
	assert.Equal(t, NextToLearn, pays.Next)
	assert.Less(t, pays.Then.Total, pays.Now.Total)
	again, err := s.Paying(t.Context(), &p, nil, nil, lastslot.FR)
	require.NoError(t, err)
	assert.Same(t, pays, again)
	p.Revision++
	assert.Panics(t, func() { _, _ = s.Paying(t.Context(), &p, nil, nil, lastslot.FR) }, "something was changed: it is made anew")
	assert.Panics(t, func() { _, _ = s.Paying(t.Context(), nil, nil, nil, lastslot.FR) }, "nobody's are others")
}
