package page

import (
	"fmt"
	"net/http"
	"net/url"
	"time"

	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// deviceKeyView is a device that has a key, or a script.
type deviceKeyView struct {
	ID profile.KeyID
	// Name is the person's own, and Label what it is called where it has none.
	Name, Label string
	Words       string
	This        bool
}

// deviceKeys are the profile's keys, this browser's first.
func deviceKeys(keys []profile.Key, this profile.KeyID, now time.Time) (views []deviceKeyView) {
	for n, k := range keys {
		v := deviceKeyView{ID: k.ID, Name: k.Name, Label: k.Name, This: k.ID == this}
		if v.Label == "" {
			v.Label = fmt.Sprintf("Device %d", n+1)
		}
		if !k.Made.IsZero() {
			v.Words = "since " + words.Day(k.Made) + ", "
		}
		switch used := words.Day(k.Used); {
		case k.Used.IsZero():
			v.Words += "not known when it was last used"
		case used == words.Day(now):
			v.Words += "last used today"
		default:
			v.Words += "last used on " + used
		}
		if v.This {
			views = append([]deviceKeyView{v}, views...)
		} else {
			views = append(views, v)
		}
	}
	return views
}

// NameKey answers POST /profile/keys/name.
func (s *Server) NameKey(w http.ResponseWriter, r *http.Request) error {
	return s.changeKey(w, r, func(id profile.ID, values url.Values) error {
		name, err := profile.CheckKeyName(values.Get("name"))
		if err != nil {
			return err
		}
		return s.store.NameKey(r.Context(), id, profile.KeyID(values.Get("key")), name)
	})
}

// RevokeKey answers POST /profile/keys/revoke.
func (s *Server) RevokeKey(w http.ResponseWriter, r *http.Request) error {
	return s.changeKey(w, r, func(id profile.ID, values url.Values) error {
		return s.store.RevokeKey(r.Context(), id, profile.KeyID(values.Get("key")))
	})
}

// changeKey changes one of the keys of the visitor's profile.
func (s *Server) changeKey(w http.ResponseWriter, r *http.Request, change func(profile.ID, url.Values) error) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	err = profile.ErrNotFound
	if visitor.Profile != nil {
		err = change(visitor.Profile.ID, values)
	}
	if wrong := problem.Of(profile.KeyFound(err)); wrong != nil {
		at := *wrong
		at.Field = "keys"
		return s.again(w, r, values, &at)
	}
	if err != nil {
		return fmt.Errorf("change a key: %w", err)
	}
	return saved(w, r, "/profile#devices")
}
