package session

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"slotcast/web/profile"
)

// However many people come, and however many insertions they have, what is kept for
// them takes no more than so much memory; who came last is kept.
func TestPeopleAreKeptWithinBounds(t *testing.T) {
	var p people
	counted := func() (n int) {
		for _, kept := range p.kept {
			n += kept.insertions
		}
		return n
	}
	for id := range profile.ID(3000) {
		p.keep(id, person{revision: 1, insertions: 30 + int(id)%7*300})
		_, ok := p.get(id, 1)
		assert.True(t, ok)
		assert.Equal(t, counted(), p.insertions)
		assert.LessOrEqual(t, p.insertions, keptInsertions)
	}
	_, ok := p.get(2999, 2)
	assert.False(t, ok, "it is of an older revision")
	// A profile's next takes the place of its last, and of nobody else's.
	others := len(p.kept)
	p.keep(2999, person{revision: 2, insertions: 30})
	assert.Len(t, p.kept, others)
	for id := range profile.ID(3000) {
		p.forget(id)
	}
	assert.Empty(t, p.kept)
	assert.Zero(t, p.insertions)
}
