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
	assert.Equal(t, "Last slot front right: corner at UFR, its bottom colour facing right, edge at UB, its front colour facing up; the top oriented but for edge in the slot facing front, corner in the slot facing right.", words.Case(c).String())
	assert.Equal(t, "Last slot back left: corner in the slot, its bottom colour facing down, edge in the slot, its back colour facing back; the top oriented.", words.Case(lastslot.Case{Slot: lastslot.BL, Corner: 4, Edge: 4}).String())
}

// No two cases of a slot are said in the same words.
func TestWordsTellCasesApart(t *testing.T) {
	said := make(map[string]bool, lastslot.Cases)
	for index := range lastslot.Cases {
		said[words.Case(lastslot.CaseAt(index)).String()] = true
	}
	assert.Len(t, said, lastslot.Cases)
}
