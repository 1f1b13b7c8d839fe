package picture_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/picture"
	"slotcast/web/webtest/site"
	"slotcast/web/words"
)

// The words of some pictures, written by hand from the trade's table.
func TestOutcomeWords(t *testing.T) {
	t.Parallel()
	for pattern, want := range map[lastslot.Pattern]string{
		0:  "all oriented",
		21: "cross; corner at the back left faces to the back; corner at the back right faces to the back; corner at the front left faces to the front; corner at the front right faces to the front",
		27: "cross; corner at the back left faces to the back; corner at the back right faces right; corner at the front right faces to the front",
		28: "L; edges at the right and front face out",
		20: "dot; all four edges face out",
		57: "line; edges at the back and front face out",
		44: "L; edges at the right and front face out; corner at the back right faces right; corner at the front right faces right",
	} {
		assert.Equal(t, want, words.Outcome(pattern.Outcome()), "pattern %d", pattern)
	}
}

// Every picture can be read back by its shapes alone, and its words by
// themselves: both say where each of the eight places faces.
func TestPatternPictures(t *testing.T) {
	t.Parallel()
	rect := regexp.MustCompile(`<rect class="(tile|hollow|tab)" x="([\d.]+)" y="([\d.]+)" width="(\d+)" height="(\d+)"`)
	for o := range lastslot.Outcome(lastslot.Outcomes) {
		picture := picture.Pattern(o)
		require.Contains(t, picture, fmt.Sprintf(`role="img" aria-label="%s"`, words.Outcome(o)))
		filled, hollow := map[string]bool{}, map[string]bool{}
		tabs := map[string]string{}
		for _, r := range rect.FindAllStringSubmatch(picture, -1) {
			var x, y, w, h float64
			_, err := fmt.Sscan(strings.Join(r[2:], " "), &x, &y, &w, &h)
			require.NoError(t, err)
			column, row := int((x+w/2)/104*3), int((y+h/2)/104*3)
			at := fmt.Sprint(column, row)
			switch r[1] {
			case "tile":
				filled[at] = true
			case "hollow":
				hollow[at] = true
			case "tab":
				switch {
				case x < 9:
					tabs[at] = "L"
				case x+w > 95:
					tabs[at] = "R"
				case y < 9:
					tabs[at] = "B"
				default:
					tabs[at] = "F"
				}
			}
		}
		facing := ""
		for i, place := range words.TopPlaces {
			at := fmt.Sprint(place.Column, place.Row)
			require.NotEqual(t, filled[at], hollow[at], "place %d of %s", i, o.Facing())
			if filled[at] {
				facing += "U"
			} else {
				facing += tabs[at]
			}
		}
		assert.Equal(t, o.Facing(), facing)
		assert.Equal(t, o.Facing(), site.FacingOf(words.Outcome(o)))
	}
}

func TestEveryPatternHasItsOwnPictureAndWords(t *testing.T) {
	t.Parallel()
	pictures, said := map[string]bool{}, map[string]bool{}
	for p := range lastslot.Pattern(lastslot.Patterns) {
		pictures[picture.Pattern(p.Outcome())] = true
		said[words.Outcome(p.Outcome())] = true
	}
	assert.Len(t, pictures, lastslot.Patterns)
	assert.Len(t, said, lastslot.Patterns)
}
