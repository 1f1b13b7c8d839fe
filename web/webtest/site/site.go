// Package site is the whole of Slotcast for tests: its handler, with a database of
// its own where one is needed, asked as the interface and as a browser is. It may
// import everything; only tests import it.
package site

import (
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/atlas"
	"slotcast/forecast/forecasttest"
	"slotcast/forecast/lastslot"
	"slotcast/server/store"
	"slotcast/web"
)

// LoadedAtlas is the atlas that all tests share.
var LoadedAtlas = sync.OnceValues(atlas.Load)

// Service is the whole of Slotcast with a database of its own.
type Service struct {
	http.Handler
	Store *store.Store
}

func New(t testing.TB) Service {
	t.Helper()
	database := filepath.Join(t.TempDir(), "slotcast.db")
	file, err := fresh()
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(database, file, 0o600))
	return At(t, database, "")
}

// fresh is the file of a database with nobody in it, made once: to make its tables takes as
// long as many a test.
var fresh = sync.OnceValues(func() ([]byte, error) {
	dir, err := os.MkdirTemp("", "slotcast-fresh")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	path := filepath.Join(dir, "slotcast.db")
	data, err := store.Open(context.Background(), path)
	if err != nil {
		return nil, err
	}
	if err := data.Close(); err != nil {
		return nil, err
	}
	return os.ReadFile(path) // #nosec G304 -- the file that was made just now
})

func At(t testing.TB, database, publicURL string) Service {
	t.Helper()
	book := forecasttest.Book()
	data, err := store.Open(t.Context(), database)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, data.Close()) })
	shortest, err := LoadedAtlas()
	require.NoError(t, err)
	return Service{web.New(web.Config{Book: book, Atlas: shortest, PublicURL: publicURL, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Healthy: data.Ping, Store: data}), data}
}

type Answer struct {
	*httptest.ResponseRecorder
}

// Ask asks with the key, "" for none, and the body, "" for none.
func (s Service) Ask(method, address, key, body string) Answer {
	r := httptest.NewRequest(method, address, strings.NewReader(body))
	if key != "" {
		r.Header.Set("Authorization", "Bearer "+key)
	}
	return s.Answer(r)
}

func (s Service) Answer(r *http.Request) Answer {
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return Answer{w}
}

// Must is what a 2xx answer says.
func (a Answer) Must(t testing.TB) map[string]any {
	t.Helper()
	require.True(t, a.Code >= 200 && a.Code < 300, "%d %s", a.Code, a.Body)
	if a.Body.Len() == 0 {
		return nil
	}
	assert.Equal(t, "application/json", a.Header().Get("Content-Type"))
	var said map[string]any
	require.NoError(t, json.Unmarshal(a.Body.Bytes(), &said))
	return said
}

// Refused is a problem's field and detail.
func (a Answer) Refused(t testing.TB, status int) (field, detail string) {
	t.Helper()
	require.Equal(t, status, a.Code, "%s", a.Body)
	assert.Equal(t, "application/problem+json", a.Header().Get("Content-Type"))
	var p struct{ Field, Detail string }
	require.NoError(t, json.Unmarshal(a.Body.Bytes(), &p))
	assert.NotEmpty(t, p.Detail)
	assert.Less(t, len(p.Detail), 1000, "a message, not an echo")
	return p.Field, p.Detail
}

func (s Service) NewKey(t testing.TB) string {
	t.Helper()
	a := s.Ask("POST", "/api/v1/profiles", "", "")
	require.Equal(t, http.StatusCreated, a.Code)
	assert.Equal(t, "no-store", a.Header().Get("Cache-Control"))
	key := a.Must(t)["key"].(string)
	require.Len(t, key, 22, "128 bits")
	return key
}

func (s Service) Export(t testing.TB, key string) string {
	t.Helper()
	a := s.Ask("GET", "/api/v1/export", key, "")
	a.Must(t)
	return a.Body.String()
}

const Orients27, Orients26 = "R U R' U R U2 R'", "R U2 R' U' R U' R'"

// Fill puts something of each kind into a profile.
func (s Service) Fill(t testing.TB, key string) {
	t.Helper()
	for _, call := range [][3]string{
		{"PUT", "/api/v1/ratings/27", `{"recognise": 4, "execute": 5}`},
		{"PUT", "/api/v1/ratings/0", `{"recognise": 1, "execute": 2}`},
		{"PATCH", "/api/v1/ratings/21", `{"execute_seconds": 1.25}`},
		{"PUT", "/api/v1/scale/recognise/5", `{"seconds": 0.1}`},
		{"PUT", "/api/v1/scale/execute/5", `{"factor": 0.75}`},
		{"PUT", "/api/v1/scale/track", `{"seconds": 0.04}`},
		{"PUT", "/api/v1/names/27", `{"name": " Kürze 🧊 "}`},
		{"PUT", "/api/v1/plls/T", `{"rating": 4, "turns": "R U R' U' R' F R2 U' R' U' R U R' F'"}`},
		{"PUT", "/api/v1/own-sequences", `{"oll": 27, "turns": "` + Orients27 + `"}`},
		{"PUT", "/api/v1/own-insertions", `{"turns": "R U R'", "known": true, "mirror": true}`},
		{"PUT", "/api/v1/own-insertions", `{"slot": "BL", "turns": "L U' L'", "hidden": true}`},
		{"PUT", "/api/v1/own-insertions", `{"turns": "U R U2 R' U", "own": true, "known": true, "seconds": 0.8, "rating": 3}`},
		{"PUT", "/api/v1/own-steps", `{"open": "FL,FR", "turns": "U D R U R' D' U2", "known": true, "seconds": 0.75}`},
		{"PUT", "/api/v1/own-steps", `{"open": "FR,BR", "turns": "y M F M'", "hidden": true}`},
		{"PUT", "/api/v1/preferences/theme", `{"value": "dark"}`},
		{"PUT", "/api/v1/preferences/speed", `{"value": "0.850"}`},
		// Only a file says when.
		{"POST", "/api/v1/import", `{"format": "slotcast", "version": 2,
			"kept": [{"case": "` + strings.ToLower(CodeAt(7)) + `", "note": " Kürze,\r\nthen look left ", "since": "2026-03-01T12:00:01.7Z"}, {"case": "` + CodeAt(8) + `", "since": "2026-03-01T13:00:00+01:00"}],
			"recent": [{"case": "` + CodeAt(9) + `", "looked": "2026-03-01T12:00:00.002Z"}, {"case": "` + CodeAt(7) + `", "looked": "2026-03-01T12:00:00.001Z"}],
	"expected": [{"day": "2026-03-01", "seconds": 2.3449}, {"day": "2026-02-28", "seconds": 2.5}],
	"results": [
		{"id": "BBBBBBBBBBBBBBBBBBBBBB", "exercise": "execute", "item": "FR R U R'", "at": "2026-03-01T12:00:02.003Z", "seconds": 0.9, "right": false, "grade": 1},
		{"id": "AAAAAAAAAAAAAAAAAAAAAB", "exercise": "recognise", "item": "27", "at": "2026-03-01T12:00:01Z", "seconds": 1.234, "right": true, "grade": 4, "withdrawn": true}
	]}`},
	} {
		s.Ask(call[0], call[1], key, call[2]).Must(t)
	}
}

// CodeAt is the code of the case with that index.
func CodeAt(index int) string { return lastslot.CaseAt(index).Code() }

type Options struct {
	Options []struct {
		Turns     string
		Leaves    struct{ OLL int }
		Sequence  string
		Known     bool
		Predicted bool
		Gain      float64
		Seconds   struct{ Insert, Recognise, Execute, Total float64 }
	}
}

func (s Service) Forecast(t testing.TB, key, query string) (o Options) {
	t.Helper()
	a := s.Ask("GET", "/api/v1/forecast?"+query, key, "")
	a.Must(t)
	require.NoError(t, json.Unmarshal(a.Body.Bytes(), &o))
	return o
}
