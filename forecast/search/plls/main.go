// Plls makes the files with PLL sequences that package forecast embeds: plls.txt and
// plls_one_hand.txt, in the folder that is its only argument. "go generate ./forecast"
// calls it. Nothing is written until all is found.
package main

import (
	"context"
	"log"
	"os"
	"os/signal"
	"path/filepath"

	"slotcast/forecast/search"
)

// How far the complete search goes: see [search.FindPLLs].
const (
	halfTurns  = 6
	halfTokens = 5
)

func main() {
	if len(os.Args) != 2 {
		log.Fatal("plls: name the folder to write to")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1]); err != nil {
		log.Fatal("plls: ", err)
	}
}

func run(ctx context.Context, folder string) error {
	both, one, err := search.FindPLLs(ctx, halfTurns, halfTokens, search.PLLLayers, func(line string) { log.Print(line) })
	if err != nil {
		return err
	}
	for _, file := range []struct {
		name, remark string
		lines        []byte
	}{
		{"plls.txt", "Easy sequences for each PLL, the easiest first, for two hands.", search.PLLLines(both)},
		{"plls_one_hand.txt", "The same for the right hand alone.", search.PLLLines(one)},
	} {
		text := append([]byte("# Made by the search; do not edit. "+file.remark+"\n"), file.lines...)
		name := filepath.Join(folder, file.name)
		// In one step, so that an interrupted run leaves the old file whole.
		if err := os.WriteFile(name+".new", text, 0o644); err != nil { // #nosec G306 G703 -- a command that writes a committed file where it is told
			return err
		}
		if err := os.Rename(name+".new", name); err != nil { // #nosec G703 -- as above
			return err
		}
	}
	return nil
}
