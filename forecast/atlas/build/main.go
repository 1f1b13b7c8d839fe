// Build makes the file that package atlas embeds; its only argument is the
// file's name. "go generate ./forecast/atlas" calls it. The file is written when
// all is found, in one step.
package main

import (
	"context"
	"fmt"
	"io"
	"log"
	"os"
	"os/signal"
	"runtime"
	"time"

	"slotcast/forecast/atlas"
	"slotcast/forecast/lastslot"
)

func main() {
	if len(os.Args) != 2 {
		log.Fatal("build: name the file to write")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1], os.Stderr); err != nil {
		log.Fatal("build: ", err)
	}
}

func run(ctx context.Context, name string, progress io.Writer) error {
	const pairs = lastslot.CasesPerSlot * lastslot.Outcomes
	filled, before := 0, time.Duration(0)
	// Columns as DEVELOPERS.md has them, and what was learnt on the way.
	fmt.Fprintln(progress, "| turns | sequences | new maps | pairs | cases oriented |")
	found, err := atlas.Search(ctx, func(l atlas.Level) {
		filled += l.Pairs
		fmt.Fprintf(progress, "| %d | %d | %d | %d | %d | %d of %d pairs filled after %v", l.Turns, l.Rows, l.Maps, l.Pairs, l.Oriented, filled, pairs, l.Took.Round(time.Millisecond))
		if filled < pairs {
			// Each length has about four times the work of the one before it.
			fmt.Fprintf(progress, "; the next length takes about %v", (4 * (l.Took - before)).Round(time.Millisecond))
		}
		fmt.Fprintln(progress)
		before = l.Took
	}, func(p atlas.Progress) {
		fmt.Fprintf(progress, "%d turns: %.0f %% done, %d of %d pairs filled, %v left\n", p.Turns, 100*p.Share, p.Pairs, pairs, p.Left.Round(time.Second))
	})
	if err != nil {
		return err
	}
	file, err := found.Encode()
	if err != nil {
		return err
	}
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	fmt.Fprintf(progress, "%d insertions, %d bytes; %.0f pairs a second, at most %d MiB of memory\n",
		len(found.Rows), len(file), pairs/before.Seconds(), memory.HeapSys>>20)
	return write(name, file)
}

// write replaces the file in one step, so that an interrupted run leaves the old
// one whole.
func write(name string, file []byte) error {
	temporary := name + ".new"
	if err := os.WriteFile(temporary, file, 0o644); err != nil { // #nosec G306 G703 -- a command that writes a committed file where it is told
		return err
	}
	return os.Rename(temporary, name) // #nosec G703 -- as above
}
