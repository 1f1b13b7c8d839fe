package picture_test

import (
	"encoding/xml"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/picture"
)

// A plot has a point for each value, at its height between the levels that are written at
// the side, and none where nothing was measured.
func TestPlot(t *testing.T) {
	t.Parallel()
	values := []time.Duration{1800 * time.Millisecond, 0, 1200 * time.Millisecond, 900 * time.Millisecond}
	var plot struct {
		Label  string `xml:"aria-label,attr"`
		Levels []struct {
			Y float64 `xml:"y1,attr"`
		} `xml:"line"`
		Texts []struct {
			Word string `xml:",chardata"`
		} `xml:"text"`
		Points []struct {
			X float64 `xml:"cx,attr"`
			Y float64 `xml:"cy,attr"`
		} `xml:"circle"`
	}
	require.NoError(t, xml.Unmarshal([]byte(picture.Plot(values, "5 Oct", "26 Oct", "Faster & faster")), &plot))
	assert.Equal(t, "Faster & faster", plot.Label)
	require.Len(t, plot.Levels, 3)
	require.Len(t, plot.Points, 3)
	// The heights are in proportion to the levels of 0, 1 and 2 s.
	assert.Equal(t, "2", plot.Texts[2].Word)
	zero, two := plot.Levels[0].Y, plot.Levels[2].Y
	for i, seconds := range []float64{1.8, 1.2, 0.9} {
		assert.InDelta(t, zero+(two-zero)*seconds/2, plot.Points[i].Y, 0.02, strconv.Itoa(i))
	}
	assert.InDelta(t, 2*(plot.Points[2].X-plot.Points[1].X), plot.Points[1].X-plot.Points[0].X, 0.02, "as far apart as the weeks")
	// One value alone, or none, is a plot too.
	require.NoError(t, xml.Unmarshal([]byte(picture.Plot(values[:1], "", "", "One")), &plot))
	require.NoError(t, xml.Unmarshal([]byte(picture.Plot(make([]time.Duration, 3), "", "", "None")), &plot))
}
