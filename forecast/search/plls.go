package search

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/pll"
)

// PLLLayers are those of which people turn PLL sequences that are longer than the complete
// search goes (common practice, no source).
var PLLLayers = []Few{
	{[]cube.Layer{cube.R, cube.U}, 17},
	{[]cube.Layer{cube.M, cube.U}, 13},
	{[]cube.Layer{cube.R, cube.U, cube.F}, 17},
	{[]cube.Layer{cube.R, cube.U, cube.L}, 15},
	{[]cube.Layer{cube.R, cube.U, cube.D}, 17},
	{[]cube.Layer{cube.R, cube.F, cube.B}, 16},
	{[]cube.Layer{cube.Rw, cube.R, cube.U, cube.M}, 11},
	{[]cube.Layer{cube.R, cube.U, cube.F, cube.D}, 14},
	{[]cube.Layer{cube.R, cube.U, cube.L, cube.D}, 14},
}

// pllMotion is a motion that keeps the first two layers and how the top is turned: its
// blocks, and what it solves.
type pllMotion struct {
	blocks string
	solves pll.PLL
}

// FindPLLs finds, for each PLL but the solved one, the easiest sequences that solve it, for two
// hands and for the right one, the easiest of all first and then the easiest of other kinds:
// of all with at most twice halfTurns face turns, of all with at most twice halfTokens tokens,
// a face, wide or slice turn each, and of all that few have. The AUFs before and after it are
// left to the forecast.
func FindPLLs(ctx context.Context, halfTurns, halfTokens int, few []Few, report func(string)) (both, one [pll.PLLs][]cube.Sequence, err error) {
	start := time.Now()
	found := map[string]pll.PLL{}
	// Seen from each of the four sides, and in the mirror, what is kept is the same.
	add := func(m motion) {
		c := m.cube()
		if !FirstTwoLayers.keptBy(c) || lastslot.OutcomeOf(c) != 0 {
			return
		}
		for _, image := range []motion{m, m.across()} {
			if p, ok := pll.Of(image.inverse().cube()); ok && p != 0 {
				found[string(image.bytes())] = p
			}
		}
	}
	said := func(what string) {
		report(fmt.Sprintf("%d motions with %s, after %v", len(found), what, time.Since(start).Round(time.Millisecond)))
	}
	if err := meet(ctx, FirstTwoLayers, halfTurns, false, add); err != nil {
		return both, one, err
	}
	if err := meet(ctx, FirstTwoLayers, halfTokens, true, add); err != nil {
		return both, one, err
	}
	said("the complete search")
	for _, few := range few {
		kept := CrossAndThreeSlots
		if few.facesOnly() {
			kept = FirstTwoLayers // in one hold all of them have room in a half's key
		}
		if err := meetFew(ctx, kept, few, 0, add); err != nil {
			return both, one, err
		}
		said(fmt.Sprintf("%s to %d turns", layerNames(few.Layers), few.Turns))
	}
	motions := make([]pllMotion, 0, len(found))
	for blocks, p := range found {
		motions = append(motions, pllMotion{blocks, p})
	}
	// The shorter first: then the dearer need not be spelt to the end.
	slices.SortFunc(motions, func(a, b pllMotion) int {
		return cmp.Or(cmp.Compare(len(a.blocks), len(b.blocks)), cmp.Compare(a.blocks, b.blocks))
	})
	var spelling sync.WaitGroup
	for handed, sequences := range map[hands.Handed]*[pll.PLLs][]cube.Sequence{hands.TwoHands: &both, hands.RightHand: &one} {
		spelling.Go(func() { *sequences = easiestPLLs(ctx, motions, handed) })
	}
	spelling.Wait()
	said("all spelt")
	return both, one, ctx.Err()
}

// easiestPLLs spells the motions, and keeps the easiest of each kind for each PLL.
func easiestPLLs(ctx context.Context, motions []pllMotion, handed hands.Handed) (sequences [pll.PLLs][]cube.Sequence) {
	var best [pll.PLLs]choices
	speller := NewSpeller(handed)
	for i := range motions {
		if i&0xfff == 0 && ctx.Err() != nil {
			return sequences
		}
		m, p := motionFrom(motions[i].blocks), motions[i].solves
		speller.prepare(m)
		for start := range cube.Hold(uprightHolds) {
			if found, ok := speller.spell(m, start, best[p].bound()); ok {
				best[p].take(found, sideOf(found.turns))
			}
		}
	}
	for p := range best {
		sequences[p] = best[p].list()
	}
	return sequences
}

// sideOf tells from which of the four sides a PLL sequence begins: by how the puzzle is turned
// against that side from which what it does to the top is the first as text.
func sideOf(turns cube.Sequence) int {
	does, _ := lastslot.Effect(turns)
	side, least := 0, ""
	for quarters, rotation := range lastslot.Rotations {
		seen := rotation.Cube().Then(does).Then(rotation.Inverse().Cube())
		for _, auf := range lastslot.AUFs {
			if top := topText(seen.Do(auf)); least == "" || top < least {
				side, least = quarters, top
			}
		}
	}
	return side
}

// topText is what stands in the places on top.
func topText(c cube.Cube) string {
	var b strings.Builder
	for spot := range lastslot.InSlot {
		b.WriteByte(byte(c.Corners[spot]))
		b.WriteByte(byte(c.Edges[spot]))
	}
	return b.String()
}

// PLLLines writes sequences as the embedded files have them: the letters, then the easiest
// and the others, with a tab between them.
func PLLLines(sequences [pll.PLLs][]cube.Sequence) []byte {
	var b bytes.Buffer
	for p := pll.PLL(1); p < pll.PLLs; p++ {
		b.WriteString(p.String())
		b.WriteByte('\t')
		b.Write(Lines([][]cube.Sequence{sequences[p]}))
	}
	return b.Bytes()
}
