package profile

import (
	"log/slog"
	"strconv"
	"time"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
)

// PersonOf is whom a profile's records describe, what they practised included. A sequence
// that is not accepted any more, as the rules of a later program are stricter, is left out.
func PersonOf(book *forecast.Book, r Records, log *slog.Logger) *forecast.Person {
	p := forecast.Anyone()
	p.Scale = ScaleOf(r.Scale)
	p.Speed, p.Hands = Turning(r)
	p.Track = Tracked(r)
	p.Usual = UsualOf(r)
	p.Unlearnt = unlearnt(r)
	p.PLL = pllsOf(r, log)
	for _, r := range r.Ratings {
		p.Ratings[r.Pattern][r.Step] = forecast.Rating{Level: r.Rating, Time: timeOf(r.Time)}
	}
	for _, own := range r.Sequences {
		turns, err := cube.Parse(own.Turns)
		var sequence lastslot.FollowUp
		if err == nil {
			sequence, err = lastslot.CheckSequence(own.Pattern, turns)
		}
		if err != nil {
			log.Warn("a saved algorithm is no longer accepted", "pattern", own.Pattern, "turns", own.Turns, "error", err)
			continue
		}
		p.Sequences[own.Pattern] = append(p.Sequences[own.Pattern], sequence)
	}
	for _, own := range r.Insertions {
		turns, err := cube.Parse(own.Turns)
		var insertion lastslot.Insertion
		if err == nil {
			insertion, err = lastslot.CheckInsertion(&own.Slot, turns)
		}
		if err != nil {
			log.Warn("a saved insertion is no longer accepted", "slot", own.Slot, "turns", own.Turns, "error", err)
			continue
		}
		p.Insertions = append(p.Insertions, forecast.OwnInsertion{Insertion: insertion, Known: own.Known, Predict: own.Predict, Hidden: own.Hidden, Execute: own.Rating, Time: timeOf(own.Time)})
	}
	for _, own := range r.Steps {
		step, err := readStep("open", own.Open.String(), own.Turns)
		if err != nil {
			log.Warn("a saved step is no longer accepted", "open", own.Open, "turns", own.Turns, "error", err)
			continue
		}
		p.Steps = append(p.Steps, forecast.OwnStep{Step: step, Known: own.Known, Hidden: own.Hidden, Time: timeOf(own.Time)})
	}
	if len(r.Practised) > 0 && PractisedRanks(r) {
		practice.Measure(r.Practised).In(p, BookOf(book, r))
	}
	return p
}

// PractisedRanks says whether what was practised counts before what is rated.
func PractisedRanks(r Records) bool { return r.Preference("practised") != "off" }

// BookOf is the book for the hands that the person turns with.
func BookOf(book *forecast.Book, r Records) *forecast.Book {
	_, handed := Turning(r)
	return book.With(handed)
}

// Turning is how fast the person turns, which every estimate of turning is
// multiplied by, and with which hands. A choice that is not read any more, as the
// rules of a later program are stricter, counts as none.
func Turning(r Records) (speed float64, handed hands.Handed) {
	speed = forecast.DefaultSpeed
	if chosen, err := strconv.ParseFloat(r.Preference("speed"), 64); err == nil {
		speed = chosen
	}
	if chosen, err := hands.Parse(r.Preference("hands")); err == nil {
		handed = chosen
	}
	return speed, handed
}

// Tracked is how many pieces the person follows through an insertion.
func Tracked(r Records) int {
	n, err := strconv.Atoi(r.Preference("track"))
	if err != nil {
		return 0
	}
	return n
}

// UsualOf says which insertions the person is taken to know.
func UsualOf(r Records) forecast.Usual {
	switch r.Preference("usual") {
	case "front":
		return forecast.UsualFront
	case "none":
		return forecast.UsualNone
	}
	return forecast.UsualAll
}

// timeOf is nil for none.
func timeOf(d time.Duration) *time.Duration {
	if d == 0 {
		return nil
	}
	return &d
}
