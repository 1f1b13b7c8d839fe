package web

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"slotcast/forecast/hands"
)

func TestTurning(t *testing.T) {
	for _, tt := range []struct {
		preferences []Preference
		speed       float64
		hands       hands.Handed
	}{
		{nil, 1, hands.TwoHands},
		{[]Preference{{"hands", "left"}}, 1, hands.LeftHand},
		{[]Preference{{"theme", "dark"}, {"hands", "right"}, {"speed", "0.25"}}, 0.25, hands.RightHand},
		{[]Preference{{"speed", "4"}}, 4, hands.TwoHands},
	} {
		speed, handed := turning(Records{Preferences: tt.preferences})
		assert.Equal(t, tt.speed, speed)
		assert.Equal(t, tt.hands, handed)
	}
}

// Every value that can be chosen is one that is kept, and shows in the attributes
// that the style sheet reads or in the turns.
func TestEveryPreferenceIsKept(t *testing.T) {
	for _, p := range preferences {
		usual := 0
		for _, v := range p.Values {
			if v.Value == "" {
				usual++
				continue
			}
			kept, err := checkPreference(p.Name, v.Value)
			assert.NoError(t, err)
			assert.Equal(t, Preference{p.Name, v.Value}, kept)
			r := Records{Preferences: []Preference{kept}}
			l := r.look()
			speed, handed := turning(r)
			changes := l != (look{}) || speed != 1 || handed != hands.TwoHands
			assert.True(t, changes, "%s %s", p.Name, v.Value)
		}
		assert.Equal(t, 1, usual, p.Name)
	}
}

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
	for id := range ProfileID(3000) {
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
	for id := range ProfileID(3000) {
		p.forget(id)
	}
	assert.Empty(t, p.kept)
	assert.Zero(t, p.insertions)
}
