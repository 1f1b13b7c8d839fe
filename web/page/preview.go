package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image/png"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/profile"
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
