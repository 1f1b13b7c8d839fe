package profile

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/web/problem"
)

// PreferenceValues is a preference, as JSON has it.
type PreferenceValues struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

func (v PreferenceValues) record() (Preference, error) { return CheckPreference(v.Name, v.Value) }

// PreferencesOf writes the records as JSON has them.
func PreferencesOf(records []Preference) []PreferenceValues {
	all := []PreferenceValues{}
	for _, p := range records {
		all = append(all, PreferenceValues(p))
	}
	return all
}

// Choice is a matter that a person can choose.
type Choice struct {
	Name, Legend, Help string
	// Values are what can be chosen. That without a value is usual, and is kept as no
	// record; speed can be between its values too.
	Values []ChoiceValue
	// Usual is how what is usual can be said in so many words, "" where it cannot. What is
	// kept so reads as nothing kept.
	Usual string
}

// ChoiceValue is a value that can be chosen, and how it is shown.
type ChoiceValue struct{ Value, Label string }

// Choices are all there are, in the order of the page.
var Choices = []Choice{
	{"top", "Colour of the top layer", "The cross is on the opposite face.", []ChoiceValue{{"", "Yellow"}, {"white", "White"}, {"green", "Green"}, {"blue", "Blue"}, {"red", "Red"}, {"orange", "Orange"}}, ""},
	{"colours", "Colours of the puzzle", "Stepped: no two are equally light, to tell apart in grey and in poor light. Parted: for eyes that confuse red, green and orange, or blue and green.", []ChoiceValue{{"", "Usual"}, {"stepped", "Stepped"}, {"parted", "Parted"}}, ""},
	{"theme", "Light or dark", "", []ChoiceValue{{"", "As the device"}, {"light", "Light"}, {"dark", "Dark"}}, ""},
	{"text", "Text", "", []ChoiceValue{{"", "Usual"}, {"big", "Big"}}, ""},
	{"thumb", "The phone is in my", "Buttons move to the side of that thumb.", []ChoiceValue{{"", "Right hand"}, {"left", "Left hand"}}, ""},
	{"notation", "A wide turn is written", "You can type either.", []ChoiceValue{{"", "r"}, {"Rw", "Rw"}}, ""},
	{"hands", "I turn with", "Estimates are for these hands.", []ChoiceValue{{"", "Both hands"}, {"right", "The right only"}, {"left", "The left only"}}, ""},
	{"learnt", "For which patterns have you learnt an algorithm?", "Two looks: first the edges, then the corners. What is not learnt counts with all the looks that it takes. Pattern by pattern: you mark each on Ratings.", []ChoiceValue{{"", "All 57"}, {LearntTen, "Two looks: ten"}, {LearntOwn, "Pattern by pattern"}}, "all"},
	{"usual", "Which insertions do you know?", "A place’s usual insertion is the fastest that turns only the top and the slot’s two sides. From the front: for slots at the back you rotate first. Your own marks count on top of this.", []ChoiceValue{{"", "The usual ones"}, {"front", "Those from the front"}, {"none", "I mark my own"}}, "all"},
	{"track", "How many pieces do you track through an insertion?", "With that many you predict what an insertion leaves and need not recognise it. Two is enough for the easiest.", []ChoiceValue{{"", "None"}, {"1", "1"}, {"2", "2"}, {"3", "3"}, {"4", "4"}, {"5", "5"}, {"6", "6"}, {"7", "7"}, {"8", "8"}}, "0"},
	{"pll", "How well do you do PLL?", "One rating for all 21, from 1 (weak) to 5 (strong). With a scramble you then see the order until all is solved. Single ones you rate on Ratings.", []ChoiceValue{{"", "Not said"}, {"1", "1"}, {"2", "2"}, {"3", "3"}, {"4", "4"}, {"5", "5"}}, ""},
	{"practised", "Which seconds rank?", "From five results on, what you practised ranks before what you rated or timed.", []ChoiceValue{{"", "What I practised"}, {"off", "What I rated"}}, "on"},
	{"speed", "How fast I turn", "Multiplies a fast solver’s time for rotation, AUF, insertion and algorithm. Recognition and what you timed stay the same.", []ChoiceValue{{"1", "Fast, ×1"}, {"1.2", "Quick, ×1.2"}, {"", "Average, ×1.5"}, {"2", "Slow, ×2"}, {"3", "Very slow, ×3"}}, "1.5"},
}

// The bounds of speed, which estimates are multiplied by. Beyond them a number is
// mistyped rather than meant.
const minSpeed, maxSpeed = 0.25, 4

// PreferenceNames are those of all choices.
func PreferenceNames() (names []string) {
	for _, p := range Choices {
		names = append(names, p.Name)
	}
	return names
}

// CheckPreferenceName is an error where there is nothing of that name to choose.
func CheckPreferenceName(name string) (Choice, error) {
	for _, p := range Choices {
		if p.Name == name {
			return p, nil
		}
	}
	return Choice{}, problem.BadRequest("name", fmt.Sprintf("“%s” is not a preference: they are %s", problem.Shortened(name), strings.Join(PreferenceNames(), ", ")))
}

// CheckPreference is a value other than the usual one, as it is kept.
func CheckPreference(name, value string) (Preference, error) {
	p, err := CheckPreferenceName(name)
	if err != nil {
		return Preference{}, err
	}
	if value == "" {
		return Preference{}, problem.BadRequest("value", "missing; for the default, remove the preference")
	}
	if name == "speed" {
		speed, err := strconv.ParseFloat(value, 64)
		if err != nil {
			return Preference{}, problem.BadRequest("value", fmt.Sprintf("“%s” is not a number: speed multiplies estimates, such as 0.8", problem.Shortened(value)))
		}
		return SpeedPreference("value", speed)
	}
	var known []string
	for _, v := range p.Values {
		if value == cmp.Or(v.Value, p.Usual) {
			return Preference{name, value}, nil
		}
		if written := cmp.Or(v.Value, p.Usual); written != "" {
			known = append(known, written)
		}
	}
	return Preference{}, problem.BadRequest("value", fmt.Sprintf("“%s” is not a value of %s: use %s", problem.Shortened(value), name, strings.Join(known, ", ")))
}

// SpeedPreference keeps a speed to the hundredth.
func SpeedPreference(field string, speed float64) (Preference, error) {
	if !(speed >= minSpeed && speed <= maxSpeed) {
		return Preference{}, problem.BadRequest(field, fmt.Sprintf("%.4g would multiply estimates; use at least %v and at most %v", speed, minSpeed, maxSpeed))
	}
	return Preference{"speed", strconv.FormatFloat(math.Round(speed*100)/100, 'f', -1, 64)}, nil
}

// Preference is what was chosen, "" for what is usual.
func (r Records) Preference(name string) string {
	for _, p := range r.Preferences {
		if p.Name != name {
			continue
		}
		if choice, err := CheckPreferenceName(name); err == nil && p.Value == choice.Usual {
			return ""
		}
		return p.Value
	}
	return ""
}

// Paced is what somebody turns five times to find their speed: common, and with
// no pattern to recognise.
const Paced = "R U R' U'"

// PacedTime is how long that is estimated to take with the hands.
func PacedTime(handed hands.Handed) time.Duration {
	turns, err := cube.Parse("(" + Paced + ")5")
	if err != nil {
		panic(err)
	}
	return hands.Estimate(turns, handed)
}
