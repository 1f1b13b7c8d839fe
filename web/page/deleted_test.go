package page_test

import (
	"net/http"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/cube/cubetest"
	"slotcast/server/store/storetest"
	"slotcast/web/webtest/site"
)

// A profile that is deleted while other requests of its person are under way, from
// another tab or device, is no profile then: never an error of the service.
func TestProfileDeletedMeanwhile(t *testing.T) {
	t.Parallel()
	rounds := 40 / cubetest.Stride(t, 13)
	databases := map[string]string{"SQLite": filepath.Join(t.TempDir(), "slotcast.db")}
	if !testing.Short() {
		databases["PostgreSQL"] = storetest.StartPostgres(t, false).NewDatabase(t)
	}
	for name, database := range databases {
		t.Run(name, func(t *testing.T) {
			s := site.At(t, database, "")
			answered := map[int]int{}
			for range rounds {
				person := &surfer{Service: s}
				require.Equal(t, http.StatusNoContent, person.save("/ratings/1", "recognise", "3").Code)
				key := person.cookie.Value
				var mu sync.Mutex
				var all sync.WaitGroup
				count := func(what string, a site.Answer) {
					mu.Lock()
					defer mu.Unlock()
					answered[a.Code]++
					assert.Less(t, a.Code, 500, "%s: %s", what, a.Body)
				}
				scripts := []struct{ method, path, body string }{
					{"PUT", "/api/v1/ratings/2", `{"recognise": 4, "execute": 5}`}, {"PUT", "/api/v1/names/2", `{"name": "mine"}`},
					{"POST", "/api/v1/shares", ""}, {"POST", "/api/v1/device-links", ""}, {"GET", "/api/v1/export", ""},
					{"GET", "/api/v1/forecast?case=1T0WT&limit=1", ""}, {"GET", "/api/v1/ratings", ""},
				}
				pages := []string{"/ratings", "/learn", "/cases", "/profile", "/case/1T0WT", "/patterns/27", "/insertions", "/steps", "/print/case/1T0WT"}
				for _, script := range scripts {
					all.Go(func() { count(script.method+" "+script.path, s.Ask(script.method, script.path, key, script.body)) })
				}
				for _, path := range pages {
					all.Go(func() {
						tab := &surfer{Service: s, cookie: person.cookie}
						count("GET "+path, tab.get(path))
					})
				}
				for _, form := range [][]string{{"/ratings/3", "recognise", "2"}, {"/profile/shares"}, {"/profile/device-link"}, {"/cases", "case", "1T0WT", "note", "x"}} {
					all.Go(func() {
						tab := &surfer{Service: s, cookie: person.cookie}
						count("POST "+form[0], tab.save(form[0], form[1:]...))
					})
				}
				all.Go(func() { count("DELETE", s.Ask("DELETE", "/api/v1/profiles/me", key, "")) })
				all.Wait()
			}
			t.Logf("%v", answered)
		})
	}
}
