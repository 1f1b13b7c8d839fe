package web

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
)

// preference is a matter that a person can choose.
type preference struct {
	Name, Legend, Help string
	// Values are what can be chosen. That without a value is usual, and is kept as no
	// record; speed can be between its values too.
	Values []preferenceValue
}

type preferenceValue struct{ Value, Label string }

// preferences are all there are, in the order of the page.
var preferences = []preference{
	{"top", "Colour of the top layer", "The cross is on the opposite face.", []preferenceValue{{"", "Yellow"}, {"white", "White"}, {"green", "Green"}, {"blue", "Blue"}, {"red", "Red"}, {"orange", "Orange"}}},
	{"colours", "Colours of the puzzle", "Stepped: no two are equally light, so that they stay apart in grey and in poor light. Parted: for eyes to which red, green and orange, or blue and green, look alike.", []preferenceValue{{"", "Usual"}, {"stepped", "Stepped"}, {"parted", "Parted"}}},
	{"theme", "Light or dark", "", []preferenceValue{{"", "As the device"}, {"light", "Light"}, {"dark", "Dark"}}},
	{"text", "Text", "", []preferenceValue{{"", "Usual"}, {"big", "Big"}}},
	{"thumb", "The phone is in my", "What you press is at the edge where that thumb is.", []preferenceValue{{"", "Right hand"}, {"left", "Left hand"}}},
	{"notation", "A wide turn is written", "You can type either.", []preferenceValue{{"", "r"}, {"Rw", "Rw"}}},
	{"hands", "I turn with", "Estimates are made for these hands.", []preferenceValue{{"", "Both hands"}, {"right", "The right only"}, {"left", "The left only"}}},
	{"speed", "How fast I turn", "Every estimate of turning is multiplied by this: rotation, AUF, insertion and sequence. What you rated or measured of a pattern stays, and so does recognition.", []preferenceValue{{"0.5", "Much quicker, ×0.5"}, {"0.7", "Quicker, ×0.7"}, {"", "As estimated"}, {"1.4", "Slower, ×1.4"}, {"2", "Much slower, ×2"}}},
}

// The bounds of speed, which estimates are multiplied by. Beyond them a number is
// mistyped rather than meant.
const minSpeed, maxSpeed = 0.25, 4

func preferenceNames() (names []string) {
	for _, p := range preferences {
		names = append(names, p.Name)
	}
	return names
}

// checkPreferenceName is an error where there is nothing of that name to choose.
func checkPreferenceName(name string) (preference, error) {
	for _, p := range preferences {
		if p.Name == name {
			return p, nil
		}
	}
	return preference{}, unclear("name", fmt.Sprintf("“%s” is no preference: they are %s", shortened(name), strings.Join(preferenceNames(), ", ")))
}

// checkPreference is a value other than the usual one, as it is kept.
func checkPreference(name, value string) (Preference, error) {
	p, err := checkPreferenceName(name)
	if err != nil {
		return Preference{}, err
	}
	if value == "" {
		return Preference{}, unclear("value", "missing; to have what is usual, remove the preference")
	}
	if name == "speed" {
		speed, err := strconv.ParseFloat(value, 64)
		if err != nil {
			return Preference{}, unclear("value", fmt.Sprintf("“%s” is no number: speed is what estimates are multiplied by, as 0.8", shortened(value)))
		}
		return speedPreference("value", speed)
	}
	var known []string
	for _, v := range p.Values {
		if v.Value == value {
			return Preference{name, value}, nil
		}
		if v.Value != "" {
			known = append(known, v.Value)
		}
	}
	return Preference{}, unclear("value", fmt.Sprintf("“%s” is no value of %s: it can be %s", shortened(value), name, strings.Join(known, ", ")))
}

// speedPreference keeps a speed to the hundredth.
func speedPreference(field string, speed float64) (Preference, error) {
	if !(speed >= minSpeed && speed <= maxSpeed) {
		return Preference{}, unclear(field, fmt.Sprintf("%.4g is what estimates would be multiplied by; it is at least %v and at most %v", speed, minSpeed, maxSpeed))
	}
	return Preference{"speed", strconv.FormatFloat(math.Round(speed*100)/100, 'f', -1, 64)}, nil
}

func (r Records) preference(name string) string {
	for _, p := range r.Preferences {
		if p.Name == name {
			return p.Value
		}
	}
	return ""
}

// paced is what somebody turns five times to find their speed: common, and with
// no pattern to recognise.
const paced = "R U R' U'"

// pacedTime is how long that is estimated to take with the hands.
func pacedTime(handed hands.Handed) time.Duration {
	turns, err := cube.Parse("(" + paced + ")5")
	if err != nil {
		panic(err)
	}
	return hands.Estimate(turns, handed)
}

// preferenceView is a matter to choose on the profile page.
type preferenceView struct {
	Name, Legend, Help, Was string
	Choices                 []preferenceChoice
}

type preferenceChoice struct {
	Value, Label string
	Checked      bool
	// Swatches are the colours that it stands for, as Scheme has them.
	Swatches []string
	Scheme   string
}

// measuredView is the field in which one's speed is measured.
type measuredView struct {
	Turns, Estimate, Value string
}

// preferenceViews are all matters with what the records say of each. Measured is
// what a speed stands for that is none of those to choose.
func preferenceViews(r Records) (views []preferenceView, measured measuredView) {
	_, handed := turning(r)
	estimate := pacedTime(handed)
	measured = measuredView{Turns: paced, Estimate: inSeconds(estimate)}
	for _, p := range preferences {
		chosen := r.preference(p.Name)
		view := preferenceView{Name: p.Name, Legend: p.Legend, Help: p.Help, Was: chosen}
		found := false
		for _, v := range p.Values {
			c := preferenceChoice{Value: v.Value, Label: v.Label, Checked: v.Value == chosen}
			found = found || c.Checked
			switch p.Name {
			case "top":
				c.Swatches = []string{strings.ToLower(v.Label)}
			case "colours":
				c.Scheme, c.Swatches = "usual", []string{"white", "yellow", "green", "blue", "red", "orange"}
				if v.Value != "" {
					c.Scheme = v.Value
				}
			}
			view.Choices = append(view.Choices, c)
		}
		if speed, err := strconv.ParseFloat(chosen, 64); p.Name == "speed" && !found && err == nil {
			measured.Value = strconv.FormatFloat(estimate.Seconds()*speed, 'f', 2, 64)
		}
		views = append(views, view)
	}
	return views, measured
}

// changePreferences answers POST /profile/preferences: each field that was changed
// is kept, and what is usual is kept as nothing.
func (s *site) changePreferences(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	put, remove, err := readPreferences(values, visitor.Records)
	if err != nil {
		if byScript(r) {
			return err
		}
		if wrong := told(err); wrong != nil && wrong.Field != "measured" {
			wrong.Field = "preferences"
		}
		return s.again(w, r, values, err)
	}
	if put.empty() && remove.empty() {
		return saved(w, r, "/profile#liking")
	}
	if err := s.keep(w, r, put, remove); err != nil {
		return err
	}
	return saved(w, r, "/profile#liking")
}

// readPreferences reads what is to be kept and what removed. A measured time
// counts before the speed that is chosen.
func readPreferences(values url.Values, before Records) (put, remove Records, err error) {
	text, timed := changed(values, "measured")
	for _, p := range preferences {
		value, ok := changed(values, p.Name)
		switch {
		case p.Name == "speed" && timed && text != "":
			took, err := readSeconds("measured", text)
			if err != nil {
				return put, remove, err
			}
			_, handed := turning(before)
			speed, err := speedPreference("measured", took.Seconds()/pacedTime(handed).Seconds())
			if err != nil {
				return put, remove, err
			}
			put.Preferences = append(put.Preferences, speed)
		case p.Name == "speed" && timed && !ok || ok && value == "":
			remove.Preferences = append(remove.Preferences, Preference{Name: p.Name})
		case ok:
			kept, err := checkPreference(p.Name, value)
			if err != nil {
				return put, remove, err
			}
			put.Preferences = append(put.Preferences, kept)
		}
	}
	return put, remove, nil
}
