package page

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/words"
)

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
func preferenceViews(r profile.Records) (views []preferenceView, measured measuredView) {
	_, handed := profile.Turning(r)
	estimate := profile.PacedTime(handed)
	measured = measuredView{Turns: profile.Paced, Estimate: words.Seconds(estimate)}
	for _, p := range profile.Choices {
		chosen := r.Preference(p.Name)
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

// ChangePreferences answers POST /profile/preferences: each field that was changed
// is kept, and what is usual is kept as nothing.
func (s *Server) ChangePreferences(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	put, remove, err := readPreferences(values, visitor.Records)
	if err != nil {
		if byScript(r) {
			return err
		}
		if wrong := problem.Of(err); wrong != nil && wrong.Field != "measured" {
			wrong.Field = "preferences"
		}
		return s.again(w, r, values, err)
	}
	back := localPath(values.Get("back"), "/profile#liking")
	if put.Empty() && remove.Empty() {
		return saved(w, r, back)
	}
	if err := s.sessions.Save(w, r, put, remove); err != nil {
		return err
	}
	return saved(w, r, back)
}

// SaveAverage answers POST /profile/average: one tap says how fast the person turns and
// recognises.
func (s *Server) SaveAverage(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	average, err := profile.CheckAverage(values.Get("average"))
	if err != nil {
		return err
	}
	if err := s.sessions.SaveFrom(w, r, average.Records()); err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/profile#liking"))
}

// readPreferences reads what is to be kept and what removed. A measured time
// counts before the speed that is chosen.
func readPreferences(values url.Values, before profile.Records) (put, remove profile.Records, err error) {
	text, timed := changed(values, "measured")
	for _, p := range profile.Choices {
		value, ok := changed(values, p.Name)
		switch {
		case p.Name == "speed" && timed && text != "":
			took, err := readSeconds("measured", text)
			if err != nil {
				return put, remove, err
			}
			_, handed := profile.Turning(before)
			speed, err := profile.SpeedPreference("measured", took.Seconds()/profile.PacedTime(handed).Seconds())
			if err != nil {
				return put, remove, err
			}
			put.Preferences = append(put.Preferences, speed)
		case p.Name == "speed" && timed && !ok || ok && value == "":
			remove.Preferences = append(remove.Preferences, profile.Preference{Name: p.Name})
		case ok:
			kept, err := profile.CheckPreference(p.Name, value)
			if err != nil {
				return put, remove, err
			}
			put.Preferences = append(put.Preferences, kept)
		}
	}
	return put, remove, nil
}
