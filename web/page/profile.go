package page

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"slotcast/forecast"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/words"
)

// profileView is the page about a profile as a whole.
type profileView struct {
	pageView
	// Exists says that something was saved.
	Exists bool
	// Kept says in words what is in the profile.
	Kept  string
	Scale []scaleRowView
	// Preferences are what can be chosen, and Measured the field for one's speed.
	Preferences []preferenceView
	Measured    measuredView
	// Sample is a position in the puzzle's colours.
	Sample string
	Shares []shareView
	// Devices are those that have a key, this one first.
	Devices []deviceKeyView
	Link    *deviceLinkView
	Wrong   map[string]fieldError
}

type scaleRowView struct {
	Legend, Unit string
	Fields       []scaleFieldView
}

type scaleFieldView struct{ Name, Label, Value, Usual string }

type shareView struct{ ID, Address string }

// Profile answers GET /profile.
func (s *Server) Profile(w http.ResponseWriter, r *http.Request) error {
	view, err := s.profileView(r)
	if err != nil {
		return err
	}
	return render(w, r, http.StatusOK, profilePage(view))
}

func (s *Server) profileView(r *http.Request) (profileView, error) {
	v := profileView{pageView: s.pageView("Profile – Slotcast", "Your other devices, links for others, and all your data.", "")}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return v, err
	}
	v.Preferences, v.Measured = preferenceViews(visitor.Records)
	example, err := query.Read(url.Values{"scramble": {exampleScramble}, "solution": {exampleSolution}})
	if err != nil {
		return v, err
	}
	v.Sample = picture.PositionOf(example.Case).Picture().SVG()
	v.Scale = scaleRows(profile.ScaleOf(visitor.Records.Scale))
	if visitor.Profile == nil {
		return v, nil
	}
	v.Exists = true
	k := visitor.Records
	v.Kept = fmt.Sprintf("%s, %s, %s, %s, %s.", words.Counted(len(k.Ratings)+len(k.PLLRatings), "rating"), words.Counted(len(k.Names), "name"), words.Counted(len(k.Sequences)+len(k.PLLSequences), "sequence"), words.Counted(len(k.Insertions), "insertion")+", "+words.Counted(len(k.Steps), "step"), words.Counted(len(k.Kept), "kept case"))
	keys, err := s.store.Keys(r.Context(), visitor.Profile.ID)
	if err != nil {
		return v, fmt.Errorf("read the keys: %w", err)
	}
	v.Devices = deviceKeys(keys, s.sessions.KeyOf(r), time.Now())
	shares, err := s.store.Shares(r.Context(), visitor.Profile.ID)
	if err != nil {
		return v, fmt.Errorf("read the shares: %w", err)
	}
	for _, id := range shares {
		v.Shares = append(v.Shares, shareView{string(id), s.shareAddress(r, "/case/"+example.Case.Code(), id)})
	}
	return v, nil
}

func scaleField(step forecast.Step, rating int) string { return fmt.Sprintf("%s-%d", step, rating) }

// trackField is that of the seconds for following a piece.
const trackField = "track"

func scaleRows(scale forecast.Scale) []scaleRowView {
	recognise := scaleRowView{Legend: "Recognise", Unit: "s"}
	execute := scaleRowView{Legend: "Execute", Unit: "× your estimate"}
	for rating := 5; rating >= 1; rating-- {
		recognise.Fields = append(recognise.Fields, scaleFieldView{
			Name: scaleField(forecast.Recognise, rating), Label: strconv.Itoa(rating), Value: words.Field(scale.Recognise[rating]),
			Usual: words.Seconds(forecast.DefaultScale.Recognise[rating]),
		})
		execute.Fields = append(execute.Fields, scaleFieldView{
			Name: scaleField(forecast.Execute, rating), Label: strconv.Itoa(rating), Value: words.Factor(scale.Execute[rating]),
			Usual: words.Factor(forecast.DefaultScale.Execute[rating]),
		})
	}
	return []scaleRowView{recognise, execute, {Legend: "Track a piece through an insertion", Unit: "s", Fields: []scaleFieldView{
		{Name: trackField, Label: "each", Value: words.Field(scale.Track), Usual: words.Seconds(forecast.DefaultScale.Track)},
	}}}
}

// again answers with the profile page and what is wrong on it; any other error is
// passed on.
func (s *Server) again(w http.ResponseWriter, r *http.Request, values url.Values, err error) error {
	wrong := problem.Of(err)
	if wrong == nil {
		return err
	}
	view, err := s.profileView(r)
	if err != nil {
		return err
	}
	view.Wrong = wrongIn(wrong, values)
	return render(w, r, wrong.Status, profilePage(view))
}

// ChangeScale answers POST /profile/scale. A field that is emptied goes back to
// what it is by default.
func (s *Server) ChangeScale(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	put, remove, err := readScale(values)
	if err == nil && put.Empty() && remove.Empty() {
		return saved(w, r, "/profile")
	}
	visitor, visitorErr := s.sessions.Visitor(r)
	if visitorErr != nil {
		return visitorErr
	}
	if err == nil {
		err = profile.CheckScale(visitor.Records.ScaleWith(put.Scale, remove.Scale))
	}
	if err != nil {
		wrong := (*problem.Problem)(nil)
		if errors.As(err, &wrong) {
			wrong.Field = "scale"
		}
		return s.again(w, r, values, err)
	}
	if err := s.sessions.Save(w, r, put, remove); err != nil {
		return err
	}
	return saved(w, r, "/profile")
}

// readScale reads what is to be kept of the scale and what removed.
func readScale(values url.Values) (put, remove profile.Records, err error) {
	read := func(field string, row profile.ScaleStep) {
		text, ok := changed(values, field)
		switch {
		case !ok || err != nil:
			return
		case text == "":
			remove.Scale = append(remove.Scale, row)
			return
		}
		given := profile.StepValuesOf(row)
		number := new(float64)
		if *number, err = readDecimal(field, text); err != nil {
			return
		}
		if given.Seconds, given.Factor = number, nil; row.Step == forecast.Execute {
			given.Seconds, given.Factor = nil, number
		}
		if row, err = given.Record(); err == nil {
			put.Scale = append(put.Scale, row)
		}
	}
	for step := range forecast.Step(forecast.Steps) {
		for rating := 1; rating <= 5; rating++ {
			read(scaleField(step, rating), profile.ScaleStep{Step: step, Rating: rating})
		}
	}
	read(trackField, profile.ScaleStep{Step: forecast.Track})
	return put, remove, err
}

// leaveNothing makes the browser drop what it stored of the pages of the profile that
// it had till now. The pages for when there is no network go by the worker: whoever
// clears those, too, drops changes that are not sent yet.
func leaveNothing(w http.ResponseWriter) { w.Header().Set("Clear-Site-Data", `"cache"`) }

// NewShare answers POST /profile/shares.
func (s *Server) NewShare(w http.ResponseWriter, r *http.Request) error {
	owner, err := s.sessions.Owner(w, r)
	if err != nil {
		return err
	}
	if err := s.store.NewShare(r.Context(), owner, profile.ShareID(profile.NewSecret())); err != nil {
		return fmt.Errorf("make a share: %w", err)
	}
	return saved(w, r, "/profile#shares")
}

// RevokeShare answers POST /profile/shares/revoke.
func (s *Server) RevokeShare(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	err = profile.ErrNotFound
	if visitor.Profile != nil && profile.IsSecret(values.Get("share")) {
		err = s.store.RevokeShare(r.Context(), visitor.Profile.ID, profile.ShareID(values.Get("share")))
	}
	if errors.Is(err, profile.ErrNotFound) {
		return &problem.Problem{Status: http.StatusNotFound, Detail: "no such link in your profile; it may have been revoked"}
	}
	if err != nil {
		return fmt.Errorf("revoke a share: %w", err)
	}
	return saved(w, r, "/profile#shares")
}

// DeleteProfile answers POST /profile/delete.
func (s *Server) DeleteProfile(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	if values.Get("sure") != "true" {
		return s.again(w, r, values, &problem.Problem{Status: http.StatusBadRequest, Detail: "nothing was deleted: tick the box to confirm", Field: "sure"})
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		if err := s.store.DeleteProfile(r.Context(), visitor.Profile.ID); err != nil && !errors.Is(err, profile.ErrNotFound) {
			return fmt.Errorf("delete a profile: %w", err)
		}
		s.sessions.Forget(visitor.Profile.ID)
	}
	s.sessions.SetKey(w, r, "")
	leaveNothing(w)
	return saved(w, r, "/profile")
}

// Export answers GET /profile/export with a file of all that is in the profile.
func (s *Server) Export(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	// The visitor's records are everybody's who asks for the profile: a copy has the results.
	records := visitor.Records
	if visitor.Profile != nil {
		if records.Results, err = s.store.Results(r.Context(), visitor.Profile.ID, profile.ResultsAsked{}); err != nil {
			return err
		}
	}
	file, err := json.MarshalIndent(profile.ExportOf(records), "", "  ")
	if err == nil && len(file) >= profile.MaxImport {
		// To be read back counts before to be read.
		file, err = json.Marshal(profile.ExportOf(records))
	}
	if err != nil {
		return fmt.Errorf("write an export: %w", err)
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Disposition", `attachment; filename="slotcast.json"`)
	// Whoever does not wait for the file does not need it.
	_, _ = w.Write(append(file, '\n'))
	return nil
}

// ImportFile answers POST /profile/import: all of the file is kept, or nothing.
func (s *Server) ImportFile(w http.ResponseWriter, r *http.Request) error {
	records, err := s.readUpload(w, r)
	if err != nil {
		// What is left of a large upload is not read.
		return s.again(w, r, url.Values{}, err)
	}
	if err := s.sessions.Save(w, r, records, profile.Records{}); err != nil {
		if wrong := problem.Of(err); wrong != nil {
			wrong.Field = "file"
			err = wrong
		}
		return s.again(w, r, url.Values{}, err)
	}
	return saved(w, r, "/profile")
}

func (s *Server) readUpload(w http.ResponseWriter, r *http.Request) (profile.Records, error) {
	const field = "file"
	tooLarge := &problem.Problem{Status: http.StatusRequestEntityTooLarge, Detail: fmt.Sprintf("nothing was changed: a file to import has at most %d MiB", profile.MaxImport>>20), Field: field}
	if r.ContentLength > profile.MaxImport+maxForm {
		return profile.Records{}, tooLarge
	}
	r.Body = http.MaxBytesReader(w, r.Body, profile.MaxImport+maxForm)
	parts, err := r.MultipartReader()
	if err != nil {
		return profile.Records{}, problem.BadRequest(field, "nothing was changed: choose a file")
	}
	for {
		part, err := parts.NextPart()
		if err != nil {
			return profile.Records{}, problem.BadRequest(field, "nothing was changed: choose a file")
		}
		if part.FormName() != field {
			continue
		}
		content, err := io.ReadAll(io.LimitReader(part, profile.MaxImport+1))
		if err != nil {
			return profile.Records{}, problem.BadRequest(field, "nothing was changed: the file did not arrive whole")
		}
		if len(content) > profile.MaxImport {
			return profile.Records{}, tooLarge
		}
		var document profile.Import
		err = profile.Decode(content, &document)
		var records profile.Records
		if err == nil {
			records, err = document.Records()
		}
		if wrong := (*problem.Problem)(nil); errors.As(err, &wrong) {
			told := *wrong
			told.Detail, told.Field, told.Offset = "nothing was changed: "+wrong.Detail, field, nil
			err = &told
		}
		return records, err
	}
}
