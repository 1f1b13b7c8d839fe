package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/profile"
	"slotcast/web/webtest"
)

// The static binary needs nothing beside it but a directory for its data: no /tmp
// either, for a profile as large as it can be, put in and deleted at once.
func TestEmptyRoot(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	binary, err := build()
	require.NoError(t, err)
	root := t.TempDir()
	content, err := os.ReadFile(binary)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(root, "slotcast"), content, 0o755))
	data := filepath.Join(root, "data")
	require.NoError(t, os.Mkdir(data, 0o700))

	command := &exec.Cmd{
		Path:        "/slotcast",
		Args:        []string{"slotcast", "-listen", "127.0.0.1:0", "-database", "/data/slotcast.db"},
		Dir:         "/",
		Env:         []string{},
		SysProcAttr: &syscall.SysProcAttr{Chroot: root},
	}
	if os.Getuid() == 0 {
		const nobody = 65532
		require.NoError(t, os.Chown(data, nobody, nobody))
		command.SysProcAttr.Credential = &syscall.Credential{Uid: nobody, Gid: nobody}
	} else {
		// Who is not root may change the root directory in a user namespace.
		require.NoError(t, os.Chmod(root, 0o500))
		t.Cleanup(func() { assert.NoError(t, os.Chmod(root, 0o700)) })
		command.SysProcAttr.Cloneflags = syscall.CLONE_NEWUSER
		command.SysProcAttr.UidMappings = []syscall.SysProcIDMap{{ContainerID: os.Getuid(), HostID: os.Getuid(), Size: 1}}
		command.SysProcAttr.GidMappings = []syscall.SysProcIDMap{{ContainerID: os.Getgid(), HostID: os.Getgid(), Size: 1}}
	}
	s := start(t, command)
	status, body := get(t, s.url+"/healthz")
	assert.Equal(t, 200, status, body)
	status, body = get(t, s.url+"/")
	assert.Equal(t, 200, status, body)
	assert.FileExists(t, filepath.Join(data, "slotcast.db"))

	var w writer
	made, err := w.call(t.Context(), "POST", s.url+"/api/v1/profiles", "")
	require.NoError(t, err)
	var profile struct{ Key string }
	require.NoError(t, json.Unmarshal([]byte(made), &profile))
	w.key = profile.Key
	large := largestExport(t)
	for range 2 {
		_, err = w.call(t.Context(), "POST", s.url+"/api/v1/import", large)
		require.NoError(t, err)
	}
	_, err = w.call(t.Context(), "GET", s.url+"/api/v1/export", "")
	require.NoError(t, err)
	_, err = w.call(t.Context(), "DELETE", s.url+"/api/v1/profiles/me", "")
	require.NoError(t, err)

	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	assert.Equal(t, 0, s.wait(t), "%s", s.log)
}

// largestExport is a file of a profile with as many insertions and cases as it may
// have.
func largestExport(t *testing.T) string {
	t.Helper()
	type insertion struct {
		Slot  string `json:"slot"`
		Turns string `json:"turns"`
		Known bool   `json:"known"`
	}
	type kept struct {
		Case  string `json:"case"`
		Note  string `json:"note"`
		Since string `json:"since"`
	}
	file := struct {
		Format     string      `json:"format"`
		Version    int         `json:"version"`
		Insertions []insertion `json:"insertions"`
		Kept       []kept      `json:"kept"`
	}{Format: "slotcast", Version: 1}
	for n := range profile.MaxInsertions {
		var turns []string
		for digit := 1; digit <= profile.MaxInsertions; digit *= 2 {
			turns = append(turns, map[bool]string{true: "R R'", false: "L L'"}[n&digit > 0])
		}
		file.Insertions = append(file.Insertions, insertion{"FR", "R U R' " + strings.Join(turns, " "), true})
	}
	for n := range profile.MaxKept {
		file.Kept = append(file.Kept, kept{lastslot.CaseAt(n).Code(), strings.Repeat("x", 500), "2026-11-25T10:00:00Z"})
	}
	text, err := json.Marshal(file)
	require.NoError(t, err)
	return string(text)
}
