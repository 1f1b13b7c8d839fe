package page

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// deviceLinkView is a device link, shown this once.
type deviceLinkView struct {
	Address, Until string
	// Seconds is how many are left as the page is made: the clock of whoever reads it may
	// be wrong.
	Seconds string
	// Code is its picture, to be read by a camera.
	Code string
}

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
			v.Words += "last use unknown"
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

// NewDeviceLink answers POST /profile/device-link with the page that shows the
// link; it is shown only there, as only its hash is kept.
func (s *Server) NewDeviceLink(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile == nil {
		return &problem.Problem{Status: http.StatusNotFound, Detail: "no profile yet: the first thing you save makes one"}
	}
	token := profile.NewSecret()
	expires := time.Now().Add(profile.DeviceLinkLife)
	if err := s.store.NewDeviceLink(r.Context(), visitor.Profile.ID, profile.HashOf(token), expires); err != nil {
		return fmt.Errorf("make a device link: %w", err)
	}
	view, err := s.profileView(r)
	if err != nil {
		return err
	}
	link := deviceLinkView{Address: s.sessions.PublicURL(r) + "/device/" + token, Until: expires.UTC().Format("15:04") + " UTC", Seconds: strconv.Itoa(int(time.Until(expires).Seconds()))}
	if link.Code, err = picture.QR(link.Address); err != nil {
		return fmt.Errorf("draw a device link: %w", err)
	}
	view.Link = &link
	return render(w, r, http.StatusOK, profilePage(view))
}

// deviceView is the page that a device link leads to.
type deviceView struct {
	pageView
	Action string
	// Replaces says that the browser has another profile, which it would leave.
	Replaces bool
}

// Device answers GET /device/{token}. It uses nothing up: whatever looks at links
// before a person does would.
func (s *Server) Device(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	view := deviceView{
		pageView: s.pageView("Another device – Slotcast", "", ""),
		Action:   "/device/" + url.PathEscape(chi.URLParam(r, "token")), Replaces: visitor.Profile != nil,
	}
	return render(w, r, http.StatusOK, devicePage(view))
}

// UseDevice answers POST /device/{token}: the browser gets a key of its own to
// the profile.
func (s *Server) UseDevice(w http.ResponseWriter, r *http.Request) error {
	key := profile.NewSecret()
	err := s.store.UseDeviceLink(r.Context(), profile.HashOf(chi.URLParam(r, "token")), profile.HashOf(key))
	if errors.Is(err, profile.ErrNotFound) {
		return &problem.Problem{Status: http.StatusGone, Title: "This link has expired", Detail: "a device link works once, within ten minutes; make another on the profile page of the first device"}
	}
	if err != nil {
		return fmt.Errorf("use a device link: %w", err)
	}
	s.sessions.SetKey(w, r, key)
	leaveNothing(w)
	return saved(w, r, "/ratings")
}
