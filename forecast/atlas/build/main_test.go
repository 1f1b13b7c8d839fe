package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cancelAt cancels when so many lines of progress were written.
type cancelAt struct {
	lines  int
	cancel context.CancelFunc
}

func (c *cancelAt) Write(text []byte) (int, error) {
	c.lines -= bytes.Count(text, []byte("\n"))
	if c.lines <= 0 {
		c.cancel()
	}
	return len(text), nil
}

// A build that is cancelled half-way leaves the old file as it was, and no other.
func TestCancelledBuildLeavesNoHalfFile(t *testing.T) {
	folder := t.TempDir()
	name := filepath.Join(folder, "atlas.bin")
	require.NoError(t, os.WriteFile(name, []byte("old"), 0o600))
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	require.ErrorIs(t, run(ctx, name, &cancelAt{11, cancel}), context.Canceled)
	files, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, files, 1)
	file, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, "old", string(file))
}
