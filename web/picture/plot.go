package picture

import (
	"math"
	"strconv"
	"time"
)

// The plot's size, and the room left of and below the lines for what stands there.
const (
	plotWidth, plotHeight = 320, 120
	plotLeft, plotRight   = 34, 8
	plotTop, plotBottom   = 10, 20
)

// Plot draws seconds from week to week, none where a value is 0. From and to are what stands
// below the first and the last.
func Plot(values []time.Duration, from, to, words string) string {
	highest := time.Duration(0)
	for _, v := range values {
		highest = max(highest, v)
	}
	top := roundAbove(highest)
	x := func(i int) float64 {
		return hundredths(plotLeft + float64(i)*(plotWidth-plotLeft-plotRight)/float64(max(1, len(values)-1)))
	}
	y := func(seconds float64) float64 {
		return hundredths(plotHeight - plotBottom - seconds/top*(plotHeight-plotBottom-plotTop))
	}
	s := &svg{}
	s.begin("plot", plotWidth, plotHeight, words)
	for _, seconds := range []float64{0, top / 2, top} {
		s.shape("line", "plot-level", []string{"x1", "y1", "x2", "y2"}, plotLeft, y(seconds), plotWidth-plotRight, y(seconds))
		s.text("plot-scale", Point{plotLeft - 4, int(y(seconds)) + 4}, strconv.FormatFloat(seconds, 'g', 3, 64))
	}
	line, joint := "", "M"
	for i, v := range values {
		if v > 0 {
			line += joint + number(x(i)) + " " + number(y(v.Seconds()))
			joint = "L"
		}
	}
	s.path("plot-line", line)
	for i, v := range values {
		if v > 0 {
			s.circle("plot-value", x(i), y(v.Seconds()), 3)
		}
	}
	s.text("plot-from", Point{plotLeft, plotHeight - 5}, from)
	s.text("plot-to", Point{plotWidth - plotRight, plotHeight - 5}, to)
	return s.end()
}

func number(n float64) string { return strconv.FormatFloat(n, 'g', -1, 64) }

func hundredths(n float64) float64 { return math.Round(n*100) / 100 }

// roundAbove is the least of 1, 2 and 5 times a power of ten that is as many seconds at
// least.
func roundAbove(d time.Duration) float64 {
	for power := 0.1; ; power *= 10 {
		for _, step := range []float64{1, 2, 5} {
			if level := step * power; level >= d.Seconds() {
				return hundredths(level)
			}
		}
	}
}
