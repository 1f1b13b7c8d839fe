package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/cube/cubetest"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// What a pattern's picture shows is oriented by each of its sequences after the
// AUF beside it: seen on plain stickers.
func TestPatternRowsFitTheirPictures(t *testing.T) {
	book := forecasttest.Book()
	s := &Server{book: book}
	for p := lastslot.Pattern(1); p < lastslot.Patterns; p++ {
		usual := s.patternRow(profile.Records{}, p)
		require.True(t, usual.Usual)
		require.Len(t, usual.Sequences, 1)
		assert.Empty(t, usual.Sequences[0].AUF, "seen as the first sequence takes it")

		// The same sequence, begun from the other sides.
		own := profile.Records{}
		for _, rotation := range []string{"", "y", "y2", "y'"} {
			turns := strings.TrimSpace(rotation + " " + book.FollowUp(p).String())
			own.Sequences = append(own.Sequences, profile.OwnSequence{Pattern: p, Turns: turns})
		}
		row := s.patternRow(own, p)
		require.False(t, row.Usual)
		require.Len(t, row.Sequences, 4)
		shown := 0
		for picture.Pattern(lastslot.Outcome(shown)) != row.Picture {
			shown++
		}
		twists, flips := lastslot.Outcome(shown).Twists(), lastslot.Outcome(shown).Flips()
		c := lastslot.Case{Corner: lastslot.InSlot, Edge: lastslot.InSlot}
		copy(c.Twists[:], twists[:])
		copy(c.Flips[:], flips[:])
		for _, sequence := range row.Sequences {
			turns, err := cube.Parse(strings.TrimSpace(sequence.AUF + " " + sequence.Turns))
			require.NoError(t, err)
			after := cubetest.Of(c.Cube()).Do(turns)
			for _, sticker := range after[:8] {
				// Eight stickers a face, then the six centres.
				require.Equal(t, after[48]-48, sticker/8, "%s: on top after %s %s", words.Pattern(p), sequence.AUF, sequence.Turns)
			}
		}
	}
}
