package session

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast"
	"slotcast/forecast/forecasttest"
)

// People with the same settings share their values; others have their own; and no more are
// kept than there is room for.
func TestValuesAreSharedAndBounded(t *testing.T) {
	book := forecasttest.Book()
	var v valuesKept
	first := v.of(book.For(forecast.Anyone()), forecast.Known)
	assert.Same(t, first, v.of(book.For(forecast.Anyone()), forecast.Known))
	other := forecast.Anyone()
	other.Ratings[27][forecast.Recognise].Level = 1
	assert.NotSame(t, first, v.of(book.For(other), forecast.Known))
	assert.Len(t, v.kept, 2)
	for level := range 200 {
		v.keep(valuesOf{settings: [32]byte{byte(level)}}, first)
		require.LessOrEqual(t, v.bytes, keptValues)
		sum := 0
		for _, values := range v.kept {
			sum += values.Bytes()
		}
		require.Equal(t, sum, v.bytes)
	}
	assert.Len(t, v.kept, keptValues/first.Bytes())
}
