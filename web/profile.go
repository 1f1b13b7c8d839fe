package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
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
	Link   *deviceLinkView
	Wrong  map[string]fieldError
}

type scaleRowView struct {
	Legend string
	Fields []scaleFieldView
}

type scaleFieldView struct{ Name, Label, Value, Usual string }

type shareView struct{ ID, Address string }

// deviceLinkView is a device link, shown this once.
type deviceLinkView struct {
	Address, Until string
	// Code is its picture, to be read by a camera.
	Code string
}

// profile answers GET /profile.
func (s *site) profile(w http.ResponseWriter, r *http.Request) error {
	view, err := s.profileView(r)
	if err != nil {
		return err
	}
	return render(w, r, http.StatusOK, profilePage(view))
}

func (s *site) profileView(r *http.Request) (profileView, error) {
	v := profileView{pageView: s.pageView("Profile – Slotcast", "Your other devices, links for others, and all your data.", "")}
	visitor, err := s.visitor(r)
	if err != nil {
		return v, err
	}
	v.Preferences, v.Measured = preferenceViews(visitor.Records)
	example, err := readQuery(url.Values{"scramble": {exampleScramble}, "solution": {exampleSolution}})
	if err != nil {
		return v, err
	}
	v.Sample = positionOf(example.Case).picture().SVG()
	v.Scale = scaleRows(scaleOf(visitor.Records.Scale))
	if visitor.Profile == nil {
		return v, nil
	}
	v.Exists = true
	k := visitor.Records
	v.Kept = fmt.Sprintf("%s, %s, %s, %s, %s.", counted(len(k.Ratings), "rating"), counted(len(k.Names), "name"), counted(len(k.Sequences), "sequence"), counted(len(k.Insertions), "insertion"), counted(len(k.Kept), "kept case"))
	shares, err := s.Store.Shares(r.Context(), visitor.Profile.ID)
	if err != nil {
		return v, fmt.Errorf("read the shares: %w", err)
	}
	for _, id := range shares {
		v.Shares = append(v.Shares, shareView{string(id), s.shareAddress(r, "/case/"+example.Case.Code(), id)})
	}
	return v, nil
}

func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

func scaleField(step Step, rating int) string { return fmt.Sprintf("%s-%d", step, rating) }

func stepScale(scale forecast.Scale, step Step) [6]time.Duration {
	if step == Recognise {
		return scale.Recognise
	}
	return scale.Execute
}

func scaleRows(scale forecast.Scale) (rows []scaleRowView) {
	for _, step := range steps {
		row := scaleRowView{Legend: sentenceCase(string(step))}
		for rating := 5; rating >= 1; rating-- {
			row.Fields = append(row.Fields, scaleFieldView{
				Name: scaleField(step, rating), Label: strconv.Itoa(rating), Value: secondsField(stepScale(scale, step)[rating]),
				Usual: inSeconds(stepScale(forecast.DefaultScale, step)[rating]),
			})
		}
		rows = append(rows, row)
	}
	return rows
}

// again answers with the profile page and what is wrong on it; any other error is
// passed on.
func (s *site) again(w http.ResponseWriter, r *http.Request, values url.Values, err error) error {
	wrong := told(err)
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

// changeScale answers POST /profile/scale. A field that is emptied goes back to
// what it is by default.
func (s *site) changeScale(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	var put, remove Records
	for _, step := range steps {
		for rating := 1; rating <= 5; rating++ {
			field := scaleField(step, rating)
			text, ok := changed(values, field)
			if !ok {
				continue
			}
			row := ScaleStep{Step: step, Rating: rating}
			if text == "" {
				remove.Scale = append(remove.Scale, row)
				continue
			}
			if row.Time, err = readSeconds(field, text); err != nil {
				wrong := (*problem)(nil)
				if errors.As(err, &wrong) {
					wrong.Field = "scale"
				}
				return s.again(w, r, values, err)
			}
			put.Scale = append(put.Scale, row)
		}
	}
	if put.empty() && remove.empty() {
		return saved(w, r, "/profile")
	}
	if err := s.keep(w, r, put, remove); err != nil {
		return err
	}
	return saved(w, r, "/profile")
}

// newDeviceLink answers POST /profile/device-link with the page that shows the
// link; it is shown only there, as only its hash is kept.
func (s *site) newDeviceLink(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile == nil {
		return &problem{Status: http.StatusNotFound, Detail: "there is no profile yet: the first thing you save makes one"}
	}
	token := newSecret()
	expires := time.Now().Add(deviceLinkLife)
	if err := s.Store.NewDeviceLink(r.Context(), visitor.Profile.ID, hashOf(token), expires); err != nil {
		return fmt.Errorf("make a device link: %w", err)
	}
	view, err := s.profileView(r)
	if err != nil {
		return err
	}
	link := deviceLinkView{Address: s.publicURL(r) + "/device/" + token, Until: expires.UTC().Format("15:04") + " UTC"}
	if link.Code, err = qrPicture(link.Address); err != nil {
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

// device answers GET /device/{token}. It uses nothing up: whatever looks at links
// before a person does would.
func (s *site) device(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	view := deviceView{
		pageView: s.pageView("Another device – Slotcast", "", ""),
		Action:   "/device/" + url.PathEscape(chi.URLParam(r, "token")), Replaces: visitor.Profile != nil,
	}
	return render(w, r, http.StatusOK, devicePage(view))
}

// useDevice answers POST /device/{token}: the browser gets a key of its own to
// the profile.
func (s *site) useDevice(w http.ResponseWriter, r *http.Request) error {
	key := newSecret()
	err := s.Store.UseDeviceLink(r.Context(), hashOf(chi.URLParam(r, "token")), hashOf(key))
	if errors.Is(err, ErrNotFound) {
		return &problem{Status: http.StatusGone, Title: "This link no longer works", Detail: "a device link works once, for ten minutes; make another on the profile page of the first device"}
	}
	if err != nil {
		return fmt.Errorf("use a device link: %w", err)
	}
	s.keepKey(w, r, key)
	return saved(w, r, "/ratings")
}

// newShare answers POST /profile/shares.
func (s *site) newShare(w http.ResponseWriter, r *http.Request) error {
	owner, err := s.owner(w, r)
	if err != nil {
		return err
	}
	if err := s.Store.NewShare(r.Context(), owner, ShareID(newSecret())); err != nil {
		return fmt.Errorf("make a share: %w", err)
	}
	return saved(w, r, "/profile#shares")
}

// revokeShare answers POST /profile/shares/revoke.
func (s *site) revokeShare(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	err = ErrNotFound
	if visitor.Profile != nil && isSecret(values.Get("share")) {
		err = s.Store.RevokeShare(r.Context(), visitor.Profile.ID, ShareID(values.Get("share")))
	}
	if errors.Is(err, ErrNotFound) {
		return &problem{Status: http.StatusNotFound, Detail: "your profile has no such link; it may be revoked already"}
	}
	if err != nil {
		return fmt.Errorf("revoke a share: %w", err)
	}
	return saved(w, r, "/profile#shares")
}

// deleteProfile answers POST /profile/delete.
func (s *site) deleteProfile(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	if values.Get("sure") != "true" {
		return s.again(w, r, values, &problem{Status: http.StatusBadRequest, Detail: "nothing was deleted: tick the box to say that you are sure", Field: "sure"})
	}
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	if visitor.Profile != nil {
		if err := s.Store.DeleteProfile(r.Context(), visitor.Profile.ID); err != nil && !errors.Is(err, ErrNotFound) {
			return fmt.Errorf("delete a profile: %w", err)
		}
		s.forgotten(visitor.Profile.ID)
	}
	s.keepKey(w, r, "")
	return saved(w, r, "/profile")
}

// export answers GET /profile/export with a file of all that is in the profile.
func (s *site) export(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.visitor(r)
	if err != nil {
		return err
	}
	file, err := json.MarshalIndent(exportOf(visitor.Records), "", "  ")
	if err != nil {
		return fmt.Errorf("write an export: %w", err)
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Disposition", `attachment; filename="slotcast.json"`)
	// Whoever does not wait for the file does not need it.
	_, _ = w.Write(append(file, '\n'))
	return nil
}

// importFile answers POST /profile/import: all of the file is kept, or nothing.
func (s *site) importFile(w http.ResponseWriter, r *http.Request) error {
	records, err := s.readUpload(w, r)
	if err != nil {
		// What is left of a large upload is not read.
		return s.again(w, r, url.Values{}, err)
	}
	if err := s.keep(w, r, records, Records{}); err != nil {
		if wrong := told(err); wrong != nil {
			wrong.Field = "file"
			err = wrong
		}
		return s.again(w, r, url.Values{}, err)
	}
	return saved(w, r, "/profile")
}

func (s *site) readUpload(w http.ResponseWriter, r *http.Request) (Records, error) {
	const field = "file"
	tooLarge := &problem{Status: http.StatusRequestEntityTooLarge, Detail: fmt.Sprintf("nothing was changed: a file to import has at most %d MiB", maxImport>>20), Field: field}
	if r.ContentLength > maxImport+maxForm {
		return Records{}, tooLarge
	}
	r.Body = http.MaxBytesReader(w, r.Body, maxImport+maxForm)
	parts, err := r.MultipartReader()
	if err != nil {
		return Records{}, unclear(field, "nothing was changed: choose a file")
	}
	for {
		part, err := parts.NextPart()
		if err != nil {
			return Records{}, unclear(field, "nothing was changed: choose a file")
		}
		if part.FormName() != field {
			continue
		}
		content, err := io.ReadAll(io.LimitReader(part, maxImport+1))
		if err != nil {
			return Records{}, unclear(field, "nothing was changed: the file did not arrive whole")
		}
		if len(content) > maxImport {
			return Records{}, tooLarge
		}
		var document imported
		err = decode(content, &document)
		var records Records
		if err == nil {
			records, err = document.records()
		}
		if wrong := (*problem)(nil); errors.As(err, &wrong) {
			told := *wrong
			told.Detail, told.Field, told.Offset = "nothing was changed: "+wrong.Detail, field, nil
			err = &told
		}
		return records, err
	}
}
