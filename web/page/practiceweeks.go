package page

import (
	"fmt"
	"net/http"
	"slices"
	"time"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/practice"
	"slotcast/web/picture"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// weeksShown is how many weeks plots go back, half a year.
const weeksShown = 26

// plotView is a plot with the same in words.
type plotView struct{ Name, Picture, Words string }

// placeProgressView is what was practised of a place of the pair.
type placeProgressView struct {
	Name, Path string
	Lines      []string
}

// expectedToday is what a solve is expected to take, if that is not said of today yet.
func (s *Server) expectedToday(r *http.Request) ([]profile.Expected, error) {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return nil, err
	}
	today := practice.DayOf(time.Now())
	said := visitor.Records.Expected
	if len(said) > 0 && said[len(said)-1].Day >= today || len(said) >= profile.MaxExpected {
		return nil, nil
	}
	total, err := s.expected(r)
	if err != nil || total == 0 {
		return nil, err
	}
	return []profile.Expected{{Day: today, Total: total}}, nil
}

// expected is what a solve takes the visitor now, from the insertion until the top is
// oriented, on average over all cases of the slot at the front right in which they know an
// insertion; 0 where there are none.
func (s *Server) expected(r *http.Request) (time.Duration, error) {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return 0, err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return 0, err
	}
	known, err := learn.KnownOf(r.Context(), f, lastslot.FR)
	if err != nil {
		return 0, fmt.Errorf("see what a solve takes: %w", err)
	}
	cases := known.Cases - known.Without
	if cases == 0 {
		return 0, nil
	}
	return (known.Total / time.Duration(cases)).Round(time.Millisecond), nil
}

// plotted are the exercises that have a plot, with its heading.
var plotted = []struct {
	exercise practice.Exercise
	heading  string
}{{practice.Recognise, "Recognising"}, {practice.Predict, "Predicting"}, {practice.Choose, "Choosing"}, {practice.Slots, "Which slot first"}, {practice.Execute, "Executing"}, {practice.Whole, "Whole solves of a last slot"}}

// showWeeks plots what was practised over the last weeks, and what a solve was expected to
// take.
func (s *Server) showWeeks(v *progressView, r *http.Request, records profile.Records, progress profile.Progress, last practice.Week) error {
	reaction := practice.Measure(records.Practised).Reaction
	for _, p := range plotted {
		tallies := progress.Weeks[p.exercise]
		if len(tallies) == 0 {
			continue
		}
		values := make([]time.Duration, weeksShown)
		for i := range values {
			if t := tallies[last-practice.Week(weeksShown-1-i)]; t != nil {
				values[i] = t.Median()
				if p.exercise == practice.Recognise && values[i] > 0 {
					values[i] = max(time.Millisecond, values[i]-reaction)
				}
			}
		}
		tries, right := 0, 0
		for _, t := range tallies {
			tries, right = tries+t.Tries, right+t.Right
		}
		text := fmt.Sprintf("%s, %s right. ", words.Counted(tries, "result"), words.Percent(right, tries)) + trendWords(values, last, "median")
		v.Plots = append(v.Plots, plotOf(p.heading, values, last, text))
	}
	now, err := s.expected(r)
	if err != nil || len(records.Expected) == 0 {
		return err
	}
	values := make([]time.Duration, weeksShown)
	for _, e := range records.Expected {
		if i := weeksShown - 1 - int(last-e.Day.Week()); i >= 0 && i < weeksShown {
			values[i] = e.Total // the week's last counts
		}
	}
	values[weeksShown-1] = now
	v.Plots = append(v.Plots, plotOf("Expected for a solve", values, last, "From the insertion until the top is oriented, by what you know and measured. "+trendWords(values, last, "expected")))
	return nil
}

// plotOf is a plot over the weeks up to the last.
func plotOf(name string, values []time.Duration, last practice.Week, text string) plotView {
	if slices.Max(values) == 0 {
		return plotView{Name: name, Words: text}
	}
	return plotView{name, picture.Plot(values, dayWords((last - weeksShown + 1).First()), dayWords(last.First()), name+", in seconds by week. "+text), text}
}

// dayWords are a day of the last half year.
func dayWords(d practice.Day) string { return d.Time().Format("2 Jan") }

// trendWords say the first and the last of the weeks' values.
func trendWords(values []time.Duration, last practice.Week, what string) string {
	has := func(d time.Duration) bool { return d > 0 }
	first := slices.IndexFunc(values, has)
	if first < 0 {
		return "Nothing that counts."
	}
	newest := len(values) - 1
	for !has(values[newest]) {
		newest--
	}
	week := func(i int) string { return "the week of " + dayWords((last - practice.Week(len(values)-1-i)).First()) }
	if first == newest {
		return fmt.Sprintf("%s %s s in %s.", words.Capital(what), words.Seconds(values[first]), week(first))
	}
	return fmt.Sprintf("%s %s s in %s, %s s in %s.", words.Capital(what), words.Seconds(values[first]), week(first), words.Seconds(values[newest]), week(newest))
}

// daysWords say on how many days there was practice.
func daysWords(days []practice.Day, last practice.Week) string {
	recent := 0
	for _, d := range days {
		if d.Week() > last-4 {
			recent++
		}
	}
	return fmt.Sprintf("%s with practice in the last %d weeks, %d of them in the last four.", words.Counted(len(days), "day"), weeksShown, recent)
}

// placePractised is the place that an item is of, false for patterns.
func placePractised(item practice.Item) (lastslot.Place, bool) {
	if place, ok := item.Place(); ok {
		return place, true
	}
	insertion, ok := item.Insertion()
	if !ok {
		insertion, ok = item.Edges()
	}
	if !ok {
		return lastslot.Place{}, false
	}
	return insertion.Case().Place(), true
}

// placesOf is what was practised by the place of the pair, in the usual order.
func placesOf(records profile.Records) (views []placeProgressView) {
	lines := map[lastslot.Place][]string{}
	for i := range records.Practised {
		p := &records.Practised[i]
		place, ok := placePractised(p.Item)
		if !ok || p.Tries == 0 {
			continue
		}
		line := fmt.Sprintf("%s: %d of %d right", words.Capital(exerciseWords[p.Exercise]), p.Right, p.Tries)
		if _, whole := p.Item.Place(); !whole {
			line = fmt.Sprintf("%s %s: %d of %d right", itemName(records, p.Item), exerciseWords[p.Exercise], p.Right, p.Tries)
		}
		if seconds := p.Seconds(); seconds.Count > 0 {
			line += fmt.Sprintf(", median %s s", words.Seconds(seconds.Median))
		}
		lines[place] = append(lines[place], line)
	}
	for slot := range lastslot.Slot(lastslot.Slots) {
		for _, place := range lastslot.Places(slot) {
			if of := lines[place]; of != nil {
				views = append(views, placeProgressView{words.Capital(slot.Words()) + ": " + words.Place(place), "/learn/" + place.String(), of})
			}
		}
	}
	return views
}
