package words_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest/site"
	"slotcast/web/words"
)

func TestCaseInWords(t *testing.T) {
	c, err := lastslot.NewCase(site.TappedCase)
	require.NoError(t, err)
	assert.Equal(t, "Last slot front right: corner at UFR, bottom colour facing right; edge at UB, front colour facing up; top oriented except edge in the slot facing front, corner in the slot facing right.", words.Case(c).String())
	assert.Equal(t, "Last slot back left: corner in the slot, bottom colour facing down; edge in the slot, back colour facing back; top oriented.", words.Case(lastslot.Case{Slot: lastslot.BL, Corner: 4, Edge: 4}).String())
}

// No two cases of a slot are said in the same words.
func TestWordsTellCasesApart(t *testing.T) {
	said := make(map[string]bool, lastslot.Cases)
	for index := range lastslot.Cases {
		said[words.Case(lastslot.CaseAt(index)).String()] = true
	}
	assert.Len(t, said, lastslot.Cases)
}

func TestAllOrientedIsAnOLLSkip(t *testing.T) {
	assert.Equal(t, "All oriented (OLL skip)", words.WithSkip(words.Pattern(0), 0))
	assert.Equal(t, "OLL 27", words.WithSkip(words.Pattern(27), 27))
}
