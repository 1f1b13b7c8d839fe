package page

import (
	"time"

	"slotcast/forecast"
	"slotcast/forecast/looks"
	"slotcast/web/words"
)

// secondsView has the seconds of an option in parts.
type secondsView struct {
	Total string
	Parts []partView
	Words string
	// Scale is the bar's view box: as wide as the slowest of those beside it.
	Scale string
}

// partView is a part of the seconds: Name is for the style sheet. From and Length
// are where it is on the bar, in milliseconds.
type partView struct {
	Name, Words, Seconds string
	From, Length         string
}

func secondsOf(s forecast.Seconds) secondsView {
	if s.Total() >= looks.Gap {
		s.Recognise, s.ThenAUF, s.Sequence, s.PLL = 0, 0, 0, 0
		v := secondsOf(s)
		v.Total = words.Seconds(looks.Gap)
		return v
	}
	v := secondsView{Total: words.Seconds(s.Total()), Parts: make([]partView, 0, 4)}
	var from time.Duration
	for _, part := range []struct {
		name, words string
		length      time.Duration
	}{
		{"rotation", "rotation and AUF", s.Rotation + s.AUF},
		{"insert", "insertion", s.Insertion},
		{"recognise", "recognise", s.Recognise},
		{"execute", "execute", s.Execute()},
		{"pll", "PLL", s.PLL},
	} {
		if part.length == 0 {
			continue
		}
		v.Parts = append(v.Parts, partView{part.name, part.words, words.Seconds(part.length), words.Milliseconds(from), words.Milliseconds(part.length)})
		from += part.length
	}
	return v
}

// drawable is the part of a total that a bar shows: where nothing learnt solves what is
// left, that until the slot is filled.
func drawable(o forecast.Option) time.Duration {
	if o.Gap {
		return o.Seconds.Insert()
	}
	return o.Seconds.Total()
}

// drawn adds what the bar needs: its scale and its words.
func (v secondsView) drawn(scale time.Duration) secondsView {
	v.Scale = "0 0 " + words.Milliseconds(scale) + " 10"
	v.Words = "About " + v.Total + " seconds"
	for i, part := range v.Parts {
		separator := ", "
		if i == 0 {
			separator = ": "
		}
		v.Words += separator + part.Words + " " + part.Seconds
	}
	return v
}
