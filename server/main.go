// Command server is Slotcast: it looks cases up, in pages and as JSON.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

// Exit codes.
const (
	exitFailed = 1 // could not start or stop as it should
	exitConfig = 2 // was told something that cannot be read
)

// memoryLimit is above what the program needs: 160 MB for what it knows, and what it
// holds for those who ask. Near it the collector works harder, so that what many have
// asked for at once does not stay. GOMEMLIMIT in the environment counts instead.
const memoryLimit = 640 << 20

func main() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memoryLimit)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	// A second signal ends the program at once: whoever sends it does not want to
	// wait for requests under way.
	context.AfterFunc(ctx, stop)
	os.Exit(run(ctx, os.Args[1:], os.Getenv, os.Stdout, os.Stderr))
}

// run is the program until ctx is done; it returns the exit code.
func run(ctx context.Context, args []string, getenv func(string) string, stdout, stderr io.Writer) int {
	c, err := readConfig(args, getenv, stdout)
	if errors.Is(err, flag.ErrHelp) {
		return 0
	}
	if err != nil {
		fmt.Fprintf(stderr, "slotcast: %v\nslotcast: -help says what can be told\n", err)
		return exitConfig
	}
	lines := newAlike(slog.NewTextHandler(stderr, &slog.HandlerOptions{Level: c.log}))
	defer lines.flush()
	log := slog.New(lines)
	p, err := open(ctx, c, log)
	if err != nil {
		log.Error("cannot start", "error", err)
		return exitFailed
	}
	if err := errors.Join(p.Run(ctx), p.Close()); err != nil {
		log.Error("did not end as it should", "error", err)
		return exitFailed
	}
	return 0
}
