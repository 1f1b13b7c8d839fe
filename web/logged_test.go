package web_test

import (
	"bytes"
	"log/slog"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/forecasttest"
	"slotcast/web"
	"slotcast/web/webtest/site"
)

// With the level for it each request has a line, and none says who asked or for what;
// without it there is none.
func TestALineForEachRequest(t *testing.T) {
	s := site.New(t)
	book := forecasttest.Book()
	for _, level := range []slog.Level{slog.LevelDebug, slog.LevelInfo} {
		var log bytes.Buffer
		h := web.New(web.Config{Book: book, Store: s.Store, Log: slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: level}))})
		r := from("GET", "/device/a-secret-token?name=somebody", "192.0.2.7:1234", "")
		r.AddCookie(&http.Cookie{Name: "slotcast", Value: "a-key"})
		require.Equal(t, http.StatusOK, answered(h, r).Code)
		if level > slog.LevelDebug {
			assert.Empty(t, log.String())
			continue
		}
		for _, says := range []string{"method=GET", "route=/device/{token}", "status=200", "bytes=", "took="} {
			assert.Contains(t, log.String(), says)
		}
		for _, secret := range []string{"a-secret-token", "somebody", "192.0.2.7", "a-key"} {
			assert.NotContains(t, log.String(), secret)
		}
	}
}
