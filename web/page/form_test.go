package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMarkCutsLongText(t *testing.T) {
	var e fieldError
	typed := strings.Repeat("R ", 200) + "Q" + strings.Repeat(" U", 200)
	e.mark(typed, 400)
	assert.Equal(t, "Q", e.Bad)
	assert.Equal(t, "…"+typed[340:400], e.Before)
	assert.Equal(t, typed[401:461]+"…", e.After)

	e = fieldError{}
	e.mark("R’ Ω′ U", 3)
	assert.Equal(t, fieldError{Marked: true, Before: "R’ ", Bad: "Ω′", After: " U"}, e)
	e = fieldError{}
	e.mark("R", 1)
	assert.Equal(t, fieldError{}, e, "nothing to mark at the end")
	e.mark(strings.Repeat("Q", 100), 0)
	assert.Equal(t, strings.Repeat("Q", 60)+"…", e.Bad)
}
