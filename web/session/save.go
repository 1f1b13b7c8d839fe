package session

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

// readSent reads what the script says of the change that a form asks for. A form
// without script says nothing.
func readSent(values url.Values) (sent profile.Sent, err error) {
	for _, field := range []struct {
		name string
		into *string
	}{{"change-id", &sent.ID}, {"change-device", &sent.Device}} {
		if *field.into = values.Get(field.name); *field.into != "" && !profile.IsSecret(*field.into) {
			return profile.Sent{}, problem.BadRequest(field.name, profile.NotSecret)
		}
	}
	if text := values.Get("change-seen"); text != "" {
		seen, err := strconv.ParseInt(text, 10, 64)
		if err != nil || seen < 0 {
			return profile.Sent{}, problem.BadRequest("change-seen", fmt.Sprintf("“%s” is not a profile revision", problem.Shortened(text)))
		}
		sent.Seen = &seen
	}
	return sent, nil
}

// Save makes a change that the form which was read asks for, in the visitor's
// profile. The first change makes the profile.
func (s *Sessions) Save(w http.ResponseWriter, r *http.Request, put, remove profile.Records) error {
	return s.save(w, r, profile.Change{Put: put, Remove: remove})
}

// Restore has a withdrawn result count again, as the form which was read asks for.
func (s *Sessions) Restore(w http.ResponseWriter, r *http.Request, result string) error {
	return s.save(w, r, profile.Change{Restore: []string{result}})
}

// SaveFrom is Save for records that were made from those of the visitor: where these
// were changed meanwhile it is [profile.ErrReadAgain], and the change begins anew.
func (s *Sessions) SaveFrom(w http.ResponseWriter, r *http.Request, put profile.Records) error {
	visitor, err := s.Visitor(r)
	if err != nil {
		return err
	}
	c := profile.Change{Put: put}
	if visitor.Profile != nil {
		c.Read = &visitor.Profile.Revision
	}
	return s.save(w, r, c)
}

func (s *Sessions) save(w http.ResponseWriter, r *http.Request, c profile.Change) error {
	sent, err := readSent(r.PostForm)
	if err != nil {
		return err
	}
	visitor, err := s.Visitor(r)
	if err != nil {
		return err
	}
	if made := r.PostForm.Get("change-owner"); made != "" && (visitor.Profile == nil || made != profile.OwnerMark(visitor.Profile.ID)) {
		TellProfile(w, visitor.Profile)
		return &problem.Problem{Status: http.StatusConflict, Detail: "this change belongs to a profile this browser no longer has; it is not saved here"}
	}
	owner, err := s.Owner(w, r)
	if err != nil {
		return err
	}
	c.Sent = sent
	parts := c.Put.Parts()
	var p profile.Profile
	err = profile.PutParts(parts, func(part profile.Records) (err error) {
		c.Put = part
		p, err = s.store.Change(r.Context(), owner, c)
		// The others are results alone, which are counted once by themselves.
		c = profile.Change{}
		return err
	})
	if elsewhere := (*profile.ChangedElsewhereError)(nil); errors.As(err, &elsewhere) {
		now, records, err := s.store.Records(r.Context(), owner)
		if err != nil {
			return fmt.Errorf("read what was changed elsewhere: %w", err)
		}
		TellProfile(w, &now)
		return &problem.Problem{Status: http.StatusConflict, Detail: profile.ChangedElsewhere(elsewhere.Keys, records, parts[0])}
	}
	if err != nil {
		return fmt.Errorf("save records: %w", err)
	}
	TellProfile(w, &p)
	return nil
}
