package web_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// outdated are words that pages and errors had, each with what is said now.
var outdated = map[string]string{
	"come up oriented":         "oriented here",
	"can be had":               "available",
	"is not asked for in this": "method not allowed here",
	"it was written down":      "the error was logged",
	"middling":                 "average",
	"within the bounds":        "filter",
	"bounds that you set":      "filter",
	"Looked up lately":         "Looked up recently",
	"by time alone":            "by time only",
	"face outwards":            "face out",
	"taken back":               "revoked",
}

// Texts for people have one kind of apostrophe and none of the outdated words: strings in
// Go, templates, and the scripts of pages. Notation has the straight one, after a letter.
func TestTextsHaveOneApostropheAndNoOutdatedWord(t *testing.T) {
	t.Parallel()
	straight := regexp.MustCompile(`[a-z]'[a-z]`)
	comment := regexp.MustCompile(`(?m)^\s*//.*$`)
	looked := 0
	check := func(path, text string) {
		looked++
		assert.NotRegexp(t, straight, text, "%s: the apostrophe is ’", path)
		for word, now := range outdated {
			if strings.Contains(strings.ToLower(text), strings.ToLower(word)) {
				assert.Fail(t, path, "“%s” is outdated: say “%s”, in %q", word, now, text)
			}
		}
	}
	inGo := func(path string) {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			if literal, ok := n.(*ast.BasicLit); ok && literal.Kind == token.STRING {
				text, err := strconv.Unquote(literal.Value)
				require.NoError(t, err)
				check(path, text)
			}
			return true
		})
	}
	quoted := regexp.MustCompile("\"[^\"\n]*\"|`[^`]*`")
	for _, root := range []string{".", "../forecast", "../cube", "../server"} {
		require.NoError(t, filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case d.IsDir() && (d.Name() == "node_modules" || d.Name() == "webtest" || d.Name() == "search" || strings.HasSuffix(d.Name(), "test")):
				return filepath.SkipDir
			case strings.HasSuffix(path, "_test.go") || strings.HasSuffix(path, "_templ.go"):
			case strings.HasSuffix(path, ".go"):
				inGo(path)
			case strings.HasSuffix(path, ".templ"):
				text, err := os.ReadFile(path)
				require.NoError(t, err)
				for line := range strings.Lines(comment.ReplaceAllString(string(text), "")) {
					check(path, line)
				}
			case strings.HasSuffix(path, ".ts"):
				text, err := os.ReadFile(path)
				require.NoError(t, err)
				for _, found := range quoted.FindAllString(comment.ReplaceAllString(string(text), ""), -1) {
					check(path, found)
				}
			}
			return nil
		}))
	}
	assert.Greater(t, looked, 2000)
}
