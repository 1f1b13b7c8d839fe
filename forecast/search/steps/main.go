// Steps makes the file that package routes embeds; its only argument is the file's name.
// "go generate ./forecast/routes" calls it. The file is written when all is found, in one
// step.
package main

import (
	"context"
	"log"
	"os"
	"os/signal"
	"runtime"
	"time"

	"slotcast/forecast/routes"
	"slotcast/forecast/search"
)

// limits are how far the search goes: see [search.FindSteps].
var limits = search.StepLimits{FaceTurns: 9, HalfTokens: 4, Few: search.StepLayers}

func main() {
	if len(os.Args) != 2 {
		log.Fatal("steps: name the file to write")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1]); err != nil {
		log.Fatal("steps: ", err)
	}
}

func run(ctx context.Context, name string) error {
	found, err := search.FindSteps(ctx, limits, func(line string) { log.Print(line) })
	if err != nil {
		return err
	}
	for kind, motions := range found.Motions {
		log.Printf("new motions by face turns, %s slots: %v", [...]string{"adjacent", "opposite"}[kind], motions)
	}
	var rows routes.Rows
	for handed := range found.For {
		for open, steps := range found.For[handed] {
			for _, s := range steps {
				rows[handed][open] = append(rows[handed][open], routes.Row{
					Rotation: uint8(s.Rotation), Turns: s.Turns, Ms: uint16(s.Takes / time.Millisecond),
				})
			}
		}
	}
	file, err := routes.Encode(&rows)
	if err != nil {
		return err
	}
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	log.Printf("%d bytes; at most %d MiB of memory", len(file), memory.HeapSys>>20)
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
