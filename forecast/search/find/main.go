// Find makes the files that package forecast embeds: insertions.txt,
// insertions_one_hand.txt and followups.txt, in the folder that is its only
// argument. "go generate ./forecast" calls it. Nothing is written until all is
// found.
package main

import (
	"bytes"
	"context"
	"log"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"time"

	"slotcast/cube"
	"slotcast/forecast/atlas"
	"slotcast/forecast/search"
)

// How far the search goes: see [search.FindInsertions] and [search.FindFollowUps].
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
	shortest, err := atlas.Load()
	if err != nil {
		return err
	}
	found, err := search.FindInsertions(ctx, insertionHalfTokens, search.FewLayers, shortest.Rows(), func(line string) { log.Print(line) })
	if err != nil {
		return err
	}
	start := time.Now()
	both, one, err := search.FindFollowUps(ctx, followUpHalfTurns, followUpHalfTokens, search.FewLayers)
	if err != nil {
		return err
	}
	log.Printf("follow-up sequences of at most %d face turns, %d tokens, or of few layers, in %v", 2*followUpHalfTurns, 2*followUpHalfTokens, time.Since(start).Round(time.Millisecond))

	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	log.Printf("at most %d MiB of memory", memory.HeapSys>>20)

	followUps, otherBoth, otherOne := make([][]cube.Sequence, 0, len(both)), [][]cube.Sequence{}, [][]cube.Sequence{}
	for p := range both[1:] {
		followUps = append(followUps, []cube.Sequence{both[p+1][0], one[p+1][0]})
		otherBoth, otherOne = append(otherBoth, both[p+1][1:]), append(otherOne, one[p+1][1:])
	}
	searched := search.Searched(insertionHalfTokens, search.FewLayers)
	for _, file := range []struct {
		name, remark string
		rows         [][]cube.Sequence
	}{
		{"insertions.txt", "Insertions in their easiest spelling for two hands: for a slot at FR, and at BR.", found.TwoHands()},
		{"insertions_one_hand.txt", "The same for the right hand alone: for a slot at FR, FL, BL and BR.", found.RightHand()},
		{"followups.txt", "The easiest sequence found for patterns 1 to 57: for two hands, and for the right hand alone.", followUps},
		{"followup_choices.txt", "Other easy sequences for patterns 1 to 57, for two hands.", otherBoth},
		{"followup_choices_one_hand.txt", "The same for the right hand alone.", otherOne},
	} {
		if err := write(filepath.Join(folder, file.name), "# Made by the search; do not edit. "+file.remark+"\n# Searched: "+searched+"\n", file.rows); err != nil {
			return err
		}
	}
	return nil
}

// write replaces the file in one step, so that an interrupted run leaves the old
// one whole.
func write(name, header string, rows [][]cube.Sequence) error {
	temporary := name + ".new"
	if err := os.WriteFile(temporary, bytes.Join([][]byte{[]byte(header), search.Lines(rows)}, nil), 0o644); err != nil { // #nosec G306 G703 -- a command that writes a committed file where it is told
		return err
	}
	return os.Rename(temporary, name) // #nosec G703 -- as above
}
