package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/forecasttest"
	"slotcast/forecast/search"
)

// The book says what this task searches.
func TestTheBookSaysWhatWasSearched(t *testing.T) {
	t.Parallel()
	book := forecasttest.Book()
	assert.Equal(t, search.Searched(insertionHalfTokens, search.FewLayers), book.Searched())
}

// A search that is cancelled leaves the old files as they were, and no others.
func TestACancelledSearchLeavesNoHalfFile(t *testing.T) {
	folder := t.TempDir()
	name := filepath.Join(folder, "insertions.txt")
	require.NoError(t, os.WriteFile(name, []byte("old"), 0o600))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, run(ctx, folder), context.Canceled)
	files, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Len(t, files, 1)
	file, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, "old", string(file))
}
