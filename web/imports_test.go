package web_test

import (
	"bytes"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// allowed says what each room may import of this module, tests aside. The order is
// from the ground up: a room stands on those before it. What is not listed may
// import nothing of the module.
var allowed = []struct{ room, imports string }{
	{"cube", ""},
	{"cube/cubetest", "cube"},
	{"cube/solve", "cube"},
	{"forecast/hands", "cube"},
	{"forecast/lastslot", "cube cube/solve"},
	{"forecast/twoslots", "cube cube/solve forecast/lastslot"},
	{"forecast/lastslot/lastslottest", "cube cube/cubetest forecast/lastslot"},
	{"forecast/facts", "cube forecast/lastslot"},
	{"forecast/technique", "cube forecast/lastslot forecast/twoslots"},
	{"forecast/pll", "cube forecast/lastslot"},
	{"forecast/atlas", "cube forecast/hands forecast/lastslot"},
	{"forecast/atlas/build", "forecast/atlas forecast/lastslot"},
	{"forecast/search", "cube forecast/hands forecast/lastslot forecast/pll forecast/twoslots"},
	{"forecast/search/find", "cube forecast/atlas forecast/search"},
	{"forecast/search/plls", "forecast/search"},
	{"forecast/looks", "cube forecast/lastslot"},
	{"forecast", "cube forecast/hands forecast/lastslot forecast/looks forecast/pll forecast/twoslots"},
	{"forecast/forecasttest", "forecast"},
	{"forecast/routes", "cube forecast forecast/hands forecast/lastslot forecast/technique forecast/twoslots"},
	{"forecast/routes/places", "cube forecast forecast/lastslot"},
	{"forecast/search/steps", "forecast/routes forecast/search"},
	{"forecast/learn", "cube forecast forecast/lastslot"},
	{"forecast/practice", "cube forecast forecast/lastslot forecast/twoslots"},

	{"web/words", "cube forecast/lastslot"},
	{"web/problem", "cube forecast/lastslot"},
	{"web/static", "web/problem"},
	{"web/static/icons", "web/static"},
	{"web/picture", "cube forecast forecast/facts forecast/lastslot forecast/twoslots web/static web/words"},
	{"web/picture/tiles", "forecast/lastslot web/picture"},
	{"web/tap", "cube forecast/lastslot forecast/twoslots web/problem web/words"},
	{"web/profile", "cube forecast forecast/hands forecast/lastslot forecast/looks forecast/pll forecast/practice forecast/twoslots web/problem web/words"},
	{"web/query", "cube forecast forecast/lastslot forecast/routes forecast/twoslots web/problem"},
	{"web/session", "forecast forecast/lastslot forecast/learn forecast/routes forecast/twoslots web/problem web/profile"},
	{"web/page", "cube forecast forecast/atlas forecast/facts forecast/lastslot forecast/learn forecast/looks forecast/pll forecast/practice forecast/routes forecast/technique forecast/twoslots web/picture web/problem web/profile web/query web/session web/static web/tap web/words"},
	{"web/api", "cube forecast forecast/atlas forecast/lastslot forecast/learn forecast/pll forecast/practice forecast/routes forecast/technique forecast/twoslots web/problem web/profile web/query web/session"},
	{"web", "forecast forecast/atlas web/api web/page web/problem web/profile web/session web/static"},
	{"web/webtest", ""},

	{"server/store", "forecast forecast/lastslot forecast/pll forecast/practice forecast/twoslots web/profile"},
	{"server/store/storetest", ""},
	{"web/webtest/site", "cube forecast/atlas forecast/forecasttest forecast/lastslot server/store web web/words"},
	{"server", "forecast forecast/atlas server/store web"},
}

// Imports point one way, as DEVELOPERS.md draws it.
func TestImportsPointOneWay(t *testing.T) {
	const module = "slotcast/"
	listed, err := exec.Command("go", "list", "-f", "{{.ImportPath}} {{join .Imports \" \"}}", module+"...").Output()
	require.NoError(t, err)
	seen := 0
	for line := range strings.Lines(string(listed)) {
		fields := strings.Fields(line)
		room := strings.TrimPrefix(fields[0], module)
		at := slices.IndexFunc(allowed, func(a struct{ room, imports string }) bool { return a.room == room })
		if !assert.GreaterOrEqual(t, at, 0, "%s is no room that DEVELOPERS.md draws: say in imports_test.go what it may import", room) {
			continue
		}
		seen++
		may := strings.Fields(allowed[at].imports)
		for _, path := range fields[1:] {
			if imported, ours := strings.CutPrefix(path, module); ours {
				assert.Contains(t, may, imported, "%s may not import %s", room, imported)
			}
		}
	}
	assert.Equal(t, len(allowed), seen, "every room of the list is there")
}

// A room that is named here stands on those before it alone, so nothing runs in
// circles.
func TestRoomsStandOnThoseBefore(t *testing.T) {
	var before []string
	for _, a := range allowed {
		for _, imported := range strings.Fields(a.imports) {
			assert.Contains(t, before, imported, a.room)
		}
		before = append(before, a.room)
	}
}

// What somebody reads has at most 400 lines; tests may be longer, and what is generated.
func TestFilesAreShort(t *testing.T) {
	t.Parallel()
	const most = 400
	files := 0
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := entry.Name()
		if entry.IsDir() {
			if name == "node_modules" || name == "build" || name != ".." && strings.HasPrefix(name, ".") {
				return filepath.SkipDir
			}
			return nil
		}
		read := slices.Contains([]string{".go", ".templ", ".ts", ".css"}, filepath.Ext(name))
		generated := strings.HasSuffix(name, "_templ.go") || name == "tiles.css" || filepath.Base(filepath.Dir(path)) == "static" && filepath.Ext(name) == ".css"
		if !read || generated || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		file, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		files++
		assert.LessOrEqual(t, bytes.Count(file, []byte("\n")), most, path)
		return nil
	})
	require.NoError(t, err)
	assert.Greater(t, files, 200)
}
