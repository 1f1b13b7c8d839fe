package main

import (
	"flag"
	"io"
	"log/slog"
	"net/netip"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// environment is one with these variables and a home directory.
func environment(variables map[string]string) func(string) string {
	return func(name string) string {
		if name == "HOME" && variables["HOME"] == "" {
			return filepath.FromSlash("/home/someone")
		}
		return variables[name]
	}
}

func TestSettings(t *testing.T) {
	t.Parallel()
	const home = "/home/someone/.local/share/slotcast.db"
	all := map[string]string{"SLOTCAST_LISTEN": ":1", "SLOTCAST_DATABASE": "e.db", "SLOTCAST_PUBLIC_URL": "https://e.example"}
	for _, tt := range []struct {
		name        string
		args        []string
		environment map[string]string
		want        config
	}{
		{"defaults", nil, nil, config{"127.0.0.1:8080", home, "", 200, nil, slog.LevelInfo}},
		{"a data directory", nil, map[string]string{"XDG_DATA_HOME": "/data"}, config{"127.0.0.1:8080", "/data/slotcast.db", "", 200, nil, slog.LevelInfo}},
		{"a data directory that is not absolute", nil, map[string]string{"XDG_DATA_HOME": "data"}, config{"127.0.0.1:8080", home, "", 200, nil, slog.LevelInfo}},
		{"environment", nil, all, config{":1", "e.db", "https://e.example", 200, nil, slog.LevelInfo}},
		{"flags win", []string{"-listen", ":2", "-database=f.db", "--public-url", "http://f.example:8/x"}, all, config{":2", "f.db", "http://f.example:8/x", 200, nil, slog.LevelInfo}},
		{"one flag", []string{"-listen", "[::1]:0"}, all, config{"[::1]:0", "e.db", "https://e.example", 200, nil, slog.LevelInfo}},
		{"a flag takes a variable back", []string{"-public-url", ""}, all, config{":1", "e.db", "", 200, nil, slog.LevelInfo}},
		{"what a flag replaces is not looked at", []string{"-listen", ":2"}, map[string]string{"SLOTCAST_LISTEN": "wrong"}, config{":2", home, "", 200, nil, slog.LevelInfo}},
		{"a rate and proxies", []string{"-rate", "0", "-proxy", "127.0.0.1, 10.0.0.0/8,::1"}, map[string]string{"SLOTCAST_RATE": "5"}, config{"127.0.0.1:8080", home, "", 0, []netip.Prefix{netip.MustParsePrefix("127.0.0.1/32"), netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("::1/128")}, slog.LevelInfo}},
		{"a rate of the environment", nil, map[string]string{"SLOTCAST_RATE": "0.5"}, config{"127.0.0.1:8080", home, "", 0.5, nil, slog.LevelInfo}},
		{"each request logged", []string{"-log", "debug"}, nil, config{"127.0.0.1:8080", home, "", 200, nil, slog.LevelDebug}},
		{"PostgreSQL", []string{"-database", "postgres://someone@127.0.0.1/slotcast"}, nil, config{"127.0.0.1:8080", "postgres://someone@127.0.0.1/slotcast", "", 200, nil, slog.LevelInfo}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, err := readConfig(tt.args, environment(tt.environment), io.Discard)
			require.NoError(t, err)
			assert.Equal(t, tt.want, got)
		})
	}
}

func TestSettingsThatCannotBeRead(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		args        []string
		environment map[string]string
		says        []string
	}{
		{[]string{"-listen", "8080"}, nil, []string{"-listen", "8080", "host:port"}},
		{[]string{"-listen", ":http8"}, nil, []string{"-listen", "port"}},
		{[]string{"-listen", ":65536"}, nil, []string{"-listen", "65536"}},
		{[]string{"-listen", ""}, nil, []string{"-listen"}},
		{nil, map[string]string{"SLOTCAST_LISTEN": "here"}, []string{"SLOTCAST_LISTEN", "here"}},
		{[]string{"-database", ""}, nil, []string{"-database"}},
		{[]string{"-database", "mysql://x"}, nil, []string{"-database", "postgres://"}},
		{nil, map[string]string{"SLOTCAST_DATABASE": "postgres://u:secret@h:x/"}, []string{"SLOTCAST_DATABASE"}},
		{[]string{"-public-url", "example.org"}, nil, []string{"-public-url", "https://"}},
		{[]string{"-public-url", "ftp://example.org"}, nil, []string{"-public-url"}},
		{[]string{"-public-url", "https://"}, nil, []string{"-public-url"}},
		{[]string{"-public-url", "https://example.org/?x"}, nil, []string{"-public-url"}},
		{[]string{"-rate", "many"}, nil, []string{"-rate", "many"}},
		{[]string{"-rate", "-1"}, nil, []string{"-rate"}},
		{[]string{"-rate", "NaN"}, nil, []string{"-rate"}},
		{nil, map[string]string{"SLOTCAST_RATE": "1e9"}, []string{"SLOTCAST_RATE", "1e9"}},
		{[]string{"-proxy", "127.0.0.1,example.org"}, nil, []string{"-proxy", "example.org"}},
		{[]string{"-proxy", "10.0.0.0/40"}, nil, []string{"-proxy", "10.0.0.0/40"}},
		{[]string{"-log", "loud"}, nil, []string{"-log", "loud", "debug"}},
		{[]string{"-port", "1"}, nil, []string{"port"}},
		{[]string{"start"}, nil, []string{"start", "no flag"}},
	} {
		var out, errors strings.Builder
		assert.Equal(t, exitConfig, run(t.Context(), tt.args, environment(tt.environment), &out, &errors), tt.args)
		assert.Empty(t, out.String())
		for _, words := range tt.says {
			assert.Contains(t, errors.String(), words)
		}
		assert.NotContains(t, errors.String(), "secret")
	}
}

func TestNoHomeDirectory(t *testing.T) {
	t.Parallel()
	nothing := func(string) string { return "" }
	_, err := readConfig(nil, nothing, io.Discard)
	require.ErrorContains(t, err, "-database: no home directory")
	_, err = readConfig([]string{"-database", "x.db"}, nothing, io.Discard)
	require.NoError(t, err)
}

func TestHelp(t *testing.T) {
	t.Parallel()
	var out, errors strings.Builder
	require.Equal(t, 0, run(t.Context(), []string{"-help"}, environment(nil), &out, &errors))
	for _, words := range []string{
		"-listen host:port", "SLOTCAST_LISTEN", `(default "127.0.0.1:8080")`,
		"-database path", "SLOTCAST_DATABASE", `(default "/home/someone/.local/share/slotcast.db")`,
		"-public-url address", "SLOTCAST_PUBLIC_URL", "(default: that of each request)",
	} {
		assert.Contains(t, out.String(), words)
	}
	assert.Empty(t, errors.String())
	_, err := readConfig([]string{"-h"}, environment(nil), io.Discard)
	assert.ErrorIs(t, err, flag.ErrHelp)
}
