package page_test

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
	"slotcast/web/words"
)

// The example of the help does what the help says, followed from the code that it
// shows; and all of it is on one screen of a desk.
func TestBrowserHelp(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	b := browse(t)
	b.Show(1280, 800, false)
	b.Do(chromedp.Navigate(b.Home + "/help"))
	c, err := lastslot.ParseCode(b.Text("section .code"))
	require.NoError(t, err)
	texts := func(selector string) []string {
		found, err := chromedp.Run(b.Context, chromedp.Evaluate[[]string](`[...document.querySelectorAll("`+selector+`")].map(e => e.getAttribute("aria-label") ?? e.textContent)`))
		require.NoError(t, err)
		return found
	}
	parsed := func(turns string) cube.Sequence {
		sequence, err := cube.Parse(turns)
		require.NoError(t, err)
		return sequence
	}
	position := c.Cube()
	frames := texts(".help-strip .turns")
	require.NotEmpty(t, frames)
	for _, turn := range frames {
		position = position.Do(parsed(turn))
	}
	slot := c.Slot
	assert.Equal(t, cube.CornerAs(slot.Corner(), 0), position.Corners[slot.Corner()], "the slot is filled")
	assert.Equal(t, cube.EdgeAs(slot.Edge(), 0), position.Edges[slot.Edge()])
	left := lastslot.OutcomeOf(position)
	assert.Contains(t, b.Text("#help-pattern + p"), words.Pattern(left.Pattern()))
	said := texts("#help-auf + p .turns")
	require.Len(t, said, 2)
	position = position.Do(parsed(said[0]))
	adjusted := lastslot.OutcomeOf(position)
	assert.NotEqual(t, left, adjusted, "the AUF is needed")
	assert.Equal(t, []string{words.Outcome(left), words.Outcome(left), words.Outcome(adjusted)}, texts(".help .pattern"))
	assert.Contains(t, b.Text(".help-auf .turns"), said[0])
	assert.Equal(t, lastslot.Pattern(0), lastslot.OutcomeOf(position.Do(parsed(said[1]))).Pattern())
	bottom, err := chromedp.Run(b.Context, chromedp.Evaluate[float64](`document.querySelector("main").getBoundingClientRect().bottom`))
	require.NoError(t, err)
	assert.LessOrEqual(t, bottom, 800.0)
	b.Quiet()
}
