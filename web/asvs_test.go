package web_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tableOf are the lines of a table, without its heading.
func tableOf(t *testing.T, file string) (rows [][]string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "testdata", file))
	require.NoError(t, err)
	for n, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		if n > 0 {
			rows = append(rows, strings.Split(line, "\t"))
		}
	}
	return rows
}

// Each requirement has a row, in order, and the test that the row names is there.
func TestEverySecurityRequirementIsAnswered(t *testing.T) {
	asked, answered := tableOf(t, "published/asvs5_level1.tsv"), tableOf(t, "asvs.tsv")
	require.Len(t, asked, 70)
	require.Len(t, answered, len(asked))
	for i, row := range answered {
		require.Len(t, row, 3, row)
		assert.Equal(t, asked[i][0], row[0])
		assert.NotEmpty(t, row[2], row[0])
		if row[1] == "" {
			continue
		}
		room, name, ok := strings.Cut(row[1], " ")
		require.True(t, ok, row)
		files, err := filepath.Glob(filepath.Join("..", room, "*_test.go"))
		require.NoError(t, err)
		found := false
		for _, file := range files {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			found = found || strings.Contains(string(text), "\nfunc "+name+"(t *testing.T)")
		}
		assert.True(t, found, "%s: no test %s in %s", row[0], name, room)
	}
}

// The program runs no other, reads no XML, and of what hides or hashes anything uses
// SHA-256 alone.
func TestNothingUnsafeIsImported(t *testing.T) {
	listed, err := exec.Command("go", "list", "-f", "{{.ImportPath}}: {{join .Imports \" \"}} .", "slotcast/...").Output()
	require.NoError(t, err)
	unsafe := regexp.MustCompile(` (os/exec|encoding/xml|encoding/gob|plugin|unsafe|text/template|crypto/(?:md5|sha1|des|rc4|aes|cipher|rsa|dsa)) `)
	seen := 0
	for line := range strings.Lines(string(listed)) {
		room, imports, _ := strings.Cut(line, ":")
		seen++
		// Those two start a database and a browser for tests.
		if room != "slotcast/server/store/storetest" && room != "slotcast/web/webtest" {
			assert.NotRegexp(t, unsafe, strings.ReplaceAll(imports, " ", "  "), room)
		}
	}
	assert.Greater(t, seen, 25)
}
