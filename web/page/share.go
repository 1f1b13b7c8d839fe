package page

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/twoslots"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
)

// caseShareView is a case's sheet, or page, with the ways to hand it on.
type caseShareView struct {
	Code string
	// Page is the same without a sheet, and takes the form that makes a share.
	Page string
	Ways []shareWay
}

// shareWay is one way to hand a case on.
type shareWay struct {
	// ID is that of the field with the link.
	ID, Name, Words string
	// Title is what the device may send beside the link. Address is "" where a share has
	// to be made first.
	Title, Address string
	// QR is where the link is as a picture.
	QR string
}

// sharePageView is that page.
type sharePageView struct {
	pageView
	Case  sharedCase
	Share caseShareView
}

// sharedCase is a case that can be handed on: its page, and what it is in a word.
type sharedCase struct{ Path, Code, Words string }

func lastSlotShared(c lastslot.Case) sharedCase {
	return sharedCase{"/case/" + c.Code(), c.Code(), "last slot " + c.Slot.Words()}
}

func twoSlotsShared(c twoslots.Case) sharedCase {
	return sharedCase{"/routes/" + c.Code(), c.Code(), "two slots open, " + c.Open.Words()}
}

// readShared reads the case that the address names, of either kind.
func readShared(r *http.Request) (sharedCase, error) {
	code := chi.URLParam(r, "code")
	if strings.HasPrefix(chi.RouteContext(r.Context()).RoutePattern(), "/routes/") {
		c, err := twoslots.ParseCode(code)
		if err != nil {
			return sharedCase{}, problem.Parse("case", err)
		}
		return twoSlotsShared(c), nil
	}
	c, err := profile.CheckCode("case", code)
	return lastSlotShared(c), err
}

// shareOf are the ways to hand a case on for whoever asks.
func (s *Server) shareOf(r *http.Request, c sharedCase) (caseShareView, error) {
	path := c.Path
	share, err := s.firstShare(r)
	if err != nil {
		return caseShareView{}, err
	}
	way := func(id, name, words, title string, parameters ...string) shareWay {
		return shareWay{
			ID: id, Name: name, Words: words, Title: title,
			Address: s.sessions.PublicURL(r) + query.With(path, nil, parameters...),
			QR:      query.With(path+"/qr.png", nil, parameters...),
		}
	}
	ranking := way("with-me", "With my ranking", "The case, and your order beside the reader’s.", "How I rank case "+c.Code+": "+c.Words, shareParameter, string(share))
	if share == "" {
		ranking.Address = ""
	}
	return caseShareView{Code: c.Code, Page: path + "/share", Ways: []shareWay{
		way("link", "Plain", "The case and all its options.", "Case "+c.Code+": "+c.Words),
		ranking,
		way("question", "As a question", "The position alone. A tap there shows the answer.", "Which would you do? Case "+c.Code+": "+c.Words, questionParameter, "true"),
	}}, nil
}

// firstShare is the visitor's share that links carry, "" for none.
func (s *Server) firstShare(r *http.Request) (profile.ShareID, error) {
	visitor, err := s.sessions.Visitor(r)
	if err != nil || visitor.Profile == nil {
		return "", err
	}
	shares, err := s.store.Shares(r.Context(), visitor.Profile.ID)
	if err != nil {
		return "", fmt.Errorf("read the shares: %w", err)
	}
	if len(shares) == 0 {
		return "", nil
	}
	return shares[0], nil
}

// ShareCase answers GET /case/{code}/share and /routes/{code}/share: what the sheet has, as a page.
func (s *Server) ShareCase(w http.ResponseWriter, r *http.Request) error {
	c, err := readShared(r)
	if err != nil {
		return err
	}
	view := sharePageView{
		pageView: s.pageView("Share case "+c.Code+" – Slotcast", "", ""), Case: c,
	}
	if view.Share, err = s.shareOf(r, c); err != nil {
		return err
	}
	return render(w, r, http.StatusOK, sharePage(view))
}

// MakeCaseShare answers POST /case/{code}/share and /routes/{code}/share: the visitor shares their ranking from now
// on, where they do not yet.
func (s *Server) MakeCaseShare(w http.ResponseWriter, r *http.Request) error {
	c, err := readShared(r)
	if err != nil {
		return err
	}
	if _, err := readForm(w, r); err != nil {
		return err
	}
	share, err := s.firstShare(r)
	if err != nil {
		return err
	}
	if share == "" {
		owner, err := s.sessions.Owner(w, r)
		if err != nil {
			return err
		}
		if err := s.store.NewShare(r.Context(), owner, profile.ShareID(profile.NewSecret())); err != nil {
			return fmt.Errorf("make a share: %w", err)
		}
	}
	return saved(w, r, c.Path+"/share#way-with-me")
}

// CaseQR answers GET /case/{code}/qr.png and /routes/{code}/qr.png: the link to the case as a QR code, with the
// parameters that a link to hand on may have.
func (s *Server) CaseQR(w http.ResponseWriter, r *http.Request) error {
	c, err := readShared(r)
	if err != nil {
		return err
	}
	values := r.URL.Query()
	asks, err := readQuestion(values)
	if err != nil {
		return err
	}
	linked := url.Values{}
	if asks {
		linked.Set(questionParameter, "true")
	}
	if share := values.Get(shareParameter); share != "" {
		if !profile.IsSecret(share) {
			return session.NoShare()
		}
		linked.Set(shareParameter, share)
	}
	file, err := picture.QRFile(s.sessions.PublicURL(r) + query.With(c.Path, linked))
	if err != nil {
		return fmt.Errorf("draw a link: %w", err)
	}
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("Cache-Control", "private, max-age=86400")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(file))
	return nil
}
