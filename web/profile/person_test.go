package profile

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"slotcast/forecast"
	"slotcast/forecast/hands"
)

func TestTurning(t *testing.T) {
	for _, tt := range []struct {
		preferences []Preference
		speed       float64
		hands       hands.Handed
	}{
		{nil, 1.5, hands.TwoHands},
		{[]Preference{{"hands", "left"}}, 1.5, hands.LeftHand},
		{[]Preference{{"theme", "dark"}, {"hands", "right"}, {"speed", "0.25"}}, 0.25, hands.RightHand},
		{[]Preference{{"speed", "4"}}, 4, hands.TwoHands},
	} {
		speed, handed := Turning(Records{Preferences: tt.preferences})
		assert.Equal(t, tt.speed, speed)
		assert.Equal(t, tt.hands, handed)
	}
}

// Every value that can be chosen is one that is kept, and shows in the attributes
// that the style sheet reads or in the turns.
func TestEveryPreferenceIsKept(t *testing.T) {
	for _, p := range Choices {
		usual := 0
		for _, v := range p.Values {
			if v.Value == "" {
				usual++
				continue
			}
			kept, err := CheckPreference(p.Name, v.Value)
			assert.NoError(t, err)
			assert.Equal(t, Preference{p.Name, v.Value}, kept)
			r := Records{Preferences: []Preference{kept}}
			l := r.Appearance()
			speed, handed := Turning(r)
			changes := l != (Appearance{}) || speed != 1.5 || handed != hands.TwoHands || Tracked(r) != 0 || UsualOf(r) != forecast.UsualAll || r.LearntCount() < 57 || r.SaysPLL() || !PractisedRanks(r)
			assert.True(t, changes, "%s %s", p.Name, v.Value)
		}
		assert.Equal(t, 1, usual, p.Name)
	}
}

// What is usual can be said in so many words, and then reads as if nothing had been said.
func TestTheUsualCanBeSaid(t *testing.T) {
	for name, usual := range map[string]string{"track": "0", "usual": "all", "learnt": "all", "speed": "1.5", "practised": "on"} {
		kept, err := CheckPreference(name, usual)
		assert.NoError(t, err, name)
		assert.Empty(t, Records{Preferences: []Preference{kept}}.Preference(name), name)
	}
	_, err := CheckPreference("theme", "all")
	assert.Error(t, err)
}
