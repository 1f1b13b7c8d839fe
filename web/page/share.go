package page

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
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
	Slot, Back string
	Share      caseShareView
}

// shareOf are the ways to hand a case on for whoever asks.
func (s *Server) shareOf(r *http.Request, c lastslot.Case) (caseShareView, error) {
	path := "/case/" + c.Code()
	share, err := s.firstShare(r)
	if err != nil {
		return caseShareView{}, err
	}
	slot := "last slot " + c.Slot.Words()
	way := func(id, name, words, title string, parameters ...string) shareWay {
		return shareWay{
			ID: id, Name: name, Words: words, Title: title,
			Address: s.sessions.PublicURL(r) + query.With(path, nil, parameters...),
			QR:      query.With(path+"/qr.png", nil, parameters...),
		}
	}
	ranking := way("with-me", "With my ranking", "The case, and your order beside the reader’s.", "How I rank case "+c.Code()+": "+slot, shareParameter, string(share))
	if share == "" {
		ranking.Address = ""
	}
	return caseShareView{Code: c.Code(), Page: path + "/share", Ways: []shareWay{
		way("link", "Plain", "The case and all its options.", "Case "+c.Code()+": "+slot),
		ranking,
		way("question", "As a question", "The position alone. A tap there shows the answer.", "Which would you do? Case "+c.Code()+": "+slot, questionParameter, "true"),
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

// ShareCase answers GET /case/{code}/share: what the sheet has, as a page.
func (s *Server) ShareCase(w http.ResponseWriter, r *http.Request) error {
	c, err := profile.CheckCode("case", chi.URLParam(r, "code"))
	if err != nil {
		return err
	}
	view := sharePageView{
		pageView: s.pageView("Share case "+c.Code()+" – Slotcast", "", ""),
		Slot:     words.Case(c).Slot, Back: "/case/" + c.Code(),
	}
	if view.Share, err = s.shareOf(r, c); err != nil {
		return err
	}
	return render(w, r, http.StatusOK, sharePage(view))
}

// MakeCaseShare answers POST /case/{code}/share: the visitor shares their ranking from now
// on, where they do not yet.
func (s *Server) MakeCaseShare(w http.ResponseWriter, r *http.Request) error {
	c, err := profile.CheckCode("case", chi.URLParam(r, "code"))
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
	return saved(w, r, "/case/"+c.Code()+"/share#way-with-me")
}

// CaseQR answers GET /case/{code}/qr.png: the link to the case as a QR code, with the
// parameters that a link to hand on may have.
func (s *Server) CaseQR(w http.ResponseWriter, r *http.Request) error {
	c, err := profile.CheckCode("case", chi.URLParam(r, "code"))
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
	file, err := picture.QRFile(s.sessions.PublicURL(r) + query.With("/case/"+c.Code(), linked))
	if err != nil {
		return fmt.Errorf("draw a link: %w", err)
	}
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("Cache-Control", "private, max-age=86400")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(file))
	return nil
}
