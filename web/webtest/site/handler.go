package site

import (
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/forecasttest"
	"slotcast/web"
)

// NewHandler is the whole of Slotcast, with a database that is well.
func NewHandler(t testing.TB) http.Handler {
	t.Helper()
	return NewHandlerWith(t, func(context.Context) error { return nil })
}

func NewHandlerWith(t testing.TB, healthy func(context.Context) error) http.Handler {
	t.Helper()
	book := forecasttest.Book()
	shortest, err := LoadedAtlas()
	require.NoError(t, err)
	return web.New(web.Config{Book: book, Atlas: shortest, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Healthy: healthy})
}

// Ask asks the handler and returns the answer with its body read.
func Ask(t testing.TB, h http.Handler, method, address string) (*http.Response, string) {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(method, address, nil))
	return w.Result(), w.Body.String()
}

// ForecastURL is the address of a forecast; parameters come in pairs.
func ForecastURL(parameters ...string) string {
	values := url.Values{}
	for i := 0; i < len(parameters); i += 2 {
		values.Add(parameters[i], parameters[i+1])
	}
	return "/api/v1/forecast?" + values.Encode()
}

// ProblemAnswer is a problem as it is read outside.
type ProblemAnswer struct {
	Type, Title, Detail, Field string
	Status                     int
	Offset                     *int
}

// None stands for a problem without an offset.
const None = -1

// AssertProblem checks an answer that is to be problem+json.
func AssertProblem(t *testing.T, got *http.Response, body string, status int, field string, offset int, says string) {
	t.Helper()
	require.Equal(t, status, got.StatusCode, body)
	assert.Equal(t, "application/problem+json", got.Header.Get("Content-Type"))
	var p ProblemAnswer
	require.NoError(t, json.Unmarshal([]byte(body), &p), body)
	assert.Equal(t, "about:blank", p.Type)
	assert.Equal(t, http.StatusText(status), p.Title)
	assert.Equal(t, status, p.Status)
	assert.Contains(t, p.Detail, says)
	assert.NotEmpty(t, p.Detail)
	assert.Less(t, len(p.Detail), 1000, "a message, not an echo")
	assert.Equal(t, field, p.Field)
	if offset == None {
		assert.Nil(t, p.Offset)
	} else if assert.NotNil(t, p.Offset) {
		assert.Equal(t, offset, *p.Offset)
	}
}
