package page

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image/png"
	"net/http"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/routes"
	"slotcast/forecast/twoslots"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/words"
)

// pictureOf is the preview of a case, for the page that is shared.
func (s *Server) pictureOf(r *http.Request, c lastslot.Case) *pagePicture {
	return &pagePicture{s.sessions.PublicURL(r) + "/case/" + c.Code() + "/picture.png", picture.PreviewWords(c)}
}

// CasePicture answers GET /case/{code}/picture.png, with question=true without an option.
func (s *Server) CasePicture(w http.ResponseWriter, r *http.Request) error {
	c, err := profile.CheckCode("case", chi.URLParam(r, "code"))
	if err != nil {
		return err
	}
	asks, err := readQuestion(r.URL.Query())
	if err != nil {
		return err
	}
	preview := picture.QuestionOf(c)
	if !asks {
		preview = picture.PreviewOf(c, s.sessions.Anyone().Forecast(forecast.Request{Case: c, PerPattern: true}))
	}
	return writePreview(w, r, preview)
}

// RoutesPicture answers GET /routes/{code}/picture.png, with question=true without a route.
func (s *Server) RoutesPicture(w http.ResponseWriter, r *http.Request) error {
	c, err := twoslots.ParseCode(chi.URLParam(r, "code"))
	if err != nil {
		return problem.Parse("case", err)
	}
	asks, err := readQuestion(r.URL.Query())
	if err != nil {
		return err
	}
	preview := picture.Preview{Title: "Two slots open", Code: c.Code()}
	for _, view := range openPictures(c) {
		preview.Positions = append(preview.Positions, picture.PreviewPicture{Picture: view.position.Picture(), Over: view.slot.Words()})
	}
	if !asks {
		list, _ := s.sessions.Routes(s.sessions.Anyone()).Routes(routes.Request{Case: c, Limit: 1})
		preview.Best = previewOfRoute(&list[0])
	}
	return writePreview(w, r, preview)
}

// previewOfRoute is a route as a preview shows it.
func previewOfRoute(route *routes.Route) *picture.PreviewOption {
	seconds := route.Last.Seconds
	seconds.Insertion += route.Step.Takes()
	first, last := route.Step.Turns.String(), route.Last.Turns.String()
	return &picture.PreviewOption{
		Lead:  "Fill " + route.Fills.Words() + " first. The fastest:",
		Turns: cmp.Or(first, "Do nothing"), After: "then " + cmp.Or(last, "nothing"),
		Leaves: words.Pattern(route.Last.Leaves.Pattern()), Total: "about " + words.Seconds(route.Total) + " s",
		Outcome: route.Last.Leaves, Seconds: seconds,
	}
}

// previewOfRoutes is the preview of a case with two slots open, for the page that is shared.
func (s *Server) previewOfRoutes(r *http.Request, c twoslots.Case, asks bool) *pagePicture {
	shown, parameters := "Two slots open", []string(nil)
	for _, view := range openPictures(c) {
		shown += "; " + view.slot.Words() + ": " + view.position.Words()
	}
	shown += ". Beside it the fastest route for anyone, the slot it fills first and the pattern it leaves."
	if asks {
		shown, _, _ = strings.Cut(shown, ". Beside it")
		shown += ". Beside it the question: which would you do?"
		parameters = []string{questionParameter, "true"}
	}
	return &pagePicture{s.sessions.PublicURL(r) + query.With("/routes/"+c.Code()+"/picture.png", nil, parameters...), shown}
}

// writePreview draws a preview, which is nobody's own.
func writePreview(w http.ResponseWriter, r *http.Request, preview picture.Preview) error {
	var file bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&file, preview.Draw()); err != nil {
		return fmt.Errorf("write a picture: %w", err)
	}
	hash := sha256.Sum256(file.Bytes())
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("ETag", `"`+hex.EncodeToString(hash[:12])+`"`)
	// It is nobody's own; the estimates change with the program.
	w.Header().Set("Cache-Control", "public, max-age=86400")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(file.Bytes()))
	return nil
}
