package forecast

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/forecast/lastslot"
)

// The values are the totals of the forecast's first options: for somebody of whom nothing
// is known for a fifth of the cases, for others for fewer.
func TestValuesAreTheFirstTotals(t *testing.T) {
	persons := people()
	persons["full profile"] = fullPerson(t)
	tracking := fullPerson(t)
	tracking.Track, tracking.Speed = 6, 1.7
	tracking.Insertions[0].Predict, tracking.Insertions[2].Predict = Yes, No
	persons["tracking"] = tracking
	front, none := fast(), fast()
	front.Usual, none.Usual = UsualFront, UsualNone
	persons["usual at the front"], persons["nothing usual"] = front, none
	for name, person := range persons {
		f := book().For(person)
		for _, view := range []View{All, Known} {
			values := f.Values(view)
			assert.Equal(t, 2*lastslot.Cases, values.Bytes())
			step := 101
			if name == "anyone" && view == All {
				step = 5
			}
			cubetest.Each(t, lastslot.Cases/step, 31, func(t *testing.T, i int) {
				options := f.Forecast(Request{Case: lastslot.CaseAt(i * step), View: view, Limit: 1})
				total, ok := values.Total(i * step)
				if ok != (len(options) > 0) || ok && total != options[0].Seconds.Total() {
					t.Fatalf("%s: %s: %v, %v", name, lastslot.CaseAt(i*step).Code(), total, options)
				}
			})
		}
	}
}

// Somebody takes longer than a minute: no total is cut off.
func TestValuesHaveRoomForTheSlowest(t *testing.T) {
	t.Parallel()
	slow := fast()
	for p := range slow.Ratings {
		slow.Ratings[p][Recognise].Time = new(3 * time.Minute)
	}
	f := book().For(slow)
	values := f.Values(All)
	assert.Equal(t, 4*lastslot.Cases, values.Bytes())
	for index := 0; index < lastslot.Cases; index += 1009 {
		total, ok := values.Total(index)
		require.True(t, ok)
		require.Equal(t, f.Forecast(Request{Case: lastslot.CaseAt(index), Limit: 1})[0].Seconds.Total(), total)
	}
}

func BenchmarkValues(b *testing.B) {
	for name, person := range map[string]*Person{"anyone": fast(), "full": fullPerson(b)} {
		f := book().For(person)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				f.Values(All)
			}
		})
		b.Run(name+"Known", func(b *testing.B) {
			for b.Loop() {
				f.Values(Known)
			}
		})
	}
}
