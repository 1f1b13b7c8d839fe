package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPercent(t *testing.T) {
	for want, n := range map[string]int{"0 %": 0, "< 0.1 %": 1, "0.1 %": 10, "50.0 %": 5000, "99.9 %": 9999, "100 %": 10_000} {
		assert.Equal(t, want, Percent(n, 10_000))
	}
	assert.Equal(t, "7", Thousands(7))
	assert.Equal(t, "1,234,005", Thousands(1_234_005))
}
