// Find makes the files that package forecast embeds: insertions.txt and
// followups.txt, in the folder that is its only argument. "go generate
// ./forecast" calls it. Nothing is written until all is found.
package main

import (
	"bytes"
	"context"
	"fmt"
	"log"
	"os"
	"os/signal"
	"path/filepath"
	"time"

	"slotcast/cube"
	"slotcast/forecast/search"
)

// How far the search goes: see [search.Insertions] and [search.FollowUps].
const (
	insertionHalfTokens = 5
	followUpHalfTurns   = 6
	followUpHalfTokens  = 5
)

func main() {
	if len(os.Args) != 2 {
		log.Fatal("find: name the folder to write to")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1]); err != nil {
		log.Fatal("find: ", err)
	}
}

func run(ctx context.Context, folder string) error {
	start := time.Now()
	found, err := search.Insertions(ctx, insertionHalfTokens)
	if err != nil {
		return err
	}
	log.Printf("%d insertions of at most %d tokens, after %v", len(found), 2*insertionHalfTokens, time.Since(start).Round(time.Millisecond))
	sequences, err := search.FollowUps(ctx, followUpHalfTurns, followUpHalfTokens)
	if err != nil {
		return err
	}
	log.Printf("follow-up sequences of at most %d face turns or %d tokens, after %v", 2*followUpHalfTurns, 2*followUpHalfTokens, time.Since(start).Round(time.Millisecond))

	insertions := make([][]cube.Sequence, len(found))
	for i, f := range found {
		insertions[i] = []cube.Sequence{f.FrontRight, f.BackRight}
	}
	if err := write(filepath.Join(folder, "insertions.txt"), fmt.Sprintf(
		"# Made by the search; do not edit. Every insertion of at most %d tokens: spelt for a slot at the front right, and at the back right.\n", 2*insertionHalfTokens), insertions); err != nil {
		return err
	}
	followUps := make([][]cube.Sequence, 0, len(sequences))
	for _, s := range sequences[1:] {
		followUps = append(followUps, []cube.Sequence{s})
	}
	return write(filepath.Join(folder, "followups.txt"), fmt.Sprintf(
		"# Made by the search; do not edit. The easiest sequence for patterns 1 to 57, of all of at most %d face turns or %d tokens.\n", 2*followUpHalfTurns, 2*followUpHalfTokens), followUps)
}

// write replaces the file in one step, so that an interrupted run leaves the old
// one whole.
func write(name, header string, rows [][]cube.Sequence) error {
	temporary := name + ".new"
	if err := os.WriteFile(temporary, bytes.Join([][]byte{[]byte(header), search.Lines(rows)}, nil), 0o644); err != nil {
		return err
	}
	return os.Rename(temporary, name)
}
