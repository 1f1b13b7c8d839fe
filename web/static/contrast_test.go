package static_test

import (
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/profile"
)

// rgb is a colour in linear light, each part from 0 to 1.
type rgb [3]float64

// parseColour reads #rrggbb. The curve is sRGB's (IEC 61966-2-1).
func parseColour(t *testing.T, text string) (c rgb) {
	t.Helper()
	require.Regexp(t, `^#[0-9a-f]{6}$`, text)
	for i := range c {
		n, err := strconv.ParseUint(text[1+2*i:3+2*i], 16, 8)
		require.NoError(t, err)
		v := float64(n) / 255
		if v <= 0.04045 {
			c[i] = v / 12.92
		} else {
			c[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return c
}

// contrast is the ratio of relative luminances as WCAG 2.2 defines them.
func contrast(a, b rgb) float64 {
	luminance := func(c rgb) float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }
	x, y := luminance(a)+0.05, luminance(b)+0.05
	return max(x, y) / min(x, y)
}

// styles is the text of all style sheets.
func styles(t *testing.T) string {
	t.Helper()
	files, err := filepath.Glob("../style/*.css")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	var all strings.Builder
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		all.Write(text)
	}
	return all.String()
}

var (
	variable  = regexp.MustCompile(`--([a-z-]+):\s*(?:light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\)|(#[0-9a-f]{6}))`)
	schemeCSS = regexp.MustCompile(`\[data-colours="(\w+)"\] \{([^}]*)\}`)
	sheetCSS  = regexp.MustCompile(`\n\.sheet \{([^}]*)\}`)
	textCSS   = regexp.MustCompile(`[{;\s]color: ([^;}]+)`)
	groundCSS = regexp.MustCompile(`background(?:-color)?: ([^;}]+)`)
	usedCSS   = regexp.MustCompile(`var\(--([a-z-]+)\)`)
)

// themes are the sets of a page's colours: of the light, of the dark, and of what
// is made for paper, whose own stand above those of the light.
var themes = []string{"light", "dark", "paper"}

// themed are a page's colours by their names, those of the schemes left out.
func themed(t *testing.T, theme string) map[string]rgb {
	t.Helper()
	colours := map[string]rgb{}
	take := func(css string) {
		for _, match := range variable.FindAllStringSubmatch(css, -1) {
			text := match[4]
			if text == "" {
				text = match[map[string]int{"light": 2, "dark": 3, "paper": 2}[theme]]
			}
			colours[match[1]] = parseColour(t, text)
		}
	}
	all := schemeCSS.ReplaceAllString(styles(t), "")
	sheet := sheetCSS.FindStringSubmatch(all)
	require.NotNil(t, sheet)
	take(sheetCSS.ReplaceAllString(all, ""))
	if theme == "paper" {
		take(sheet[1])
	}
	return colours
}

// pageText says on which backgrounds each colour of text stands, and pageShapes
// where each colour stands that is read by its shape: borders of fields, focus,
// bars and tiles, the cells of the figure. Whoever uses a colour in a new place adds
// it here.
var (
	pageText = map[string][]string{
		"ink":            {"ground", "panel", "sticker", "bad-ground"},
		"faint":          {"ground", "panel", "sticker"},
		"accent":         {"ground", "panel", "sticker"},
		"on-accent":      {"accent"},
		"bad":            {"panel"},
		"panel":          {"bad", "tile"},
		"rotation-text":  {"ground", "panel", "sticker"},
		"insert-text":    {"ground", "panel", "sticker"},
		"recognise-text": {"ground", "panel", "sticker"},
		"execute-text":   {"ground", "panel", "sticker"},
	}
	pageShapes = map[string][]string{
		"edge":      {"ground", "panel"},
		"accent":    {"ground", "panel", "sticker"},
		"tile":      {"ground", "panel", "sticker"},
		"rotation":  {"panel", "sticker"},
		"insert":    {"panel", "sticker"},
		"recognise": {"panel", "sticker"},
		"execute":   {"panel", "sticker"},
		"bad":       {"panel", "ground", "bad-ground"},
		"moved":     {"puzzle"},
		"plain":     {"puzzle", "flap"},
		"fold":      {"puzzle", "flap"},
		"rim":       {"ground", "panel"},
		"mark":      {"fold"},
	}
)

// WCAG 2.2: 4.5 for text (1.4.3), 3 for what is read by its shape (1.4.11).
func TestContrastOfPages(t *testing.T) {
	for _, theme := range themes {
		colours := themed(t, theme)
		check := func(pairs map[string][]string, least float64) {
			for colour, grounds := range pairs {
				require.Contains(t, colours, colour)
				for _, ground := range grounds {
					require.Contains(t, colours, ground)
					assert.GreaterOrEqual(t, contrast(colours[colour], colours[ground]), least, "%s: %s on %s", theme, colour, ground)
				}
			}
		}
		check(pageText, 4.5)
		check(pageShapes, 3)
	}
}

// No style sheet writes text in a colour, or puts one behind text, of which the
// test above knows nothing.
func TestContrastKnowsEveryColour(t *testing.T) {
	css := styles(t)
	grounds := map[string]bool{}
	for _, pairs := range []map[string][]string{pageText, pageShapes} {
		for _, on := range pairs {
			for _, ground := range on {
				grounds[ground] = true
			}
		}
	}
	// What is behind text may also be a colour of the puzzle, as TestSchemes has it.
	for _, side := range []string{"of-up", "of-down", "of-front", "of-back"} {
		grounds[side] = true
	}
	named := func(value string) string {
		return strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(value), "var(--"), ")")
	}
	texts := textCSS.FindAllStringSubmatch(css, -1)
	assert.Greater(t, len(texts), 20)
	for _, match := range texts {
		if name := named(match[1]); name != "inherit" && pageText[name] == nil {
			assert.True(t, pageShapes[name] != nil, "text in this colour: %s", name)
		}
	}
	for _, match := range groundCSS.FindAllStringSubmatch(css, -1) {
		if value := strings.TrimSpace(match[1]); value == "none" || value == "currentColor" {
			continue
		}
		used := usedCSS.FindAllStringSubmatch(match[1], -1)
		assert.True(t, len(used) > 0 && !strings.Contains(match[1], "#"), "a background without a name: %s", match[1])
		for _, name := range used {
			assert.True(t, grounds[name[1]], "a background: %s", match[1])
		}
	}
}

// schemes are the puzzle's colours by scheme and name.
func schemes(t *testing.T) map[string]map[string]rgb {
	t.Helper()
	all := map[string]map[string]rgb{}
	for _, match := range schemeCSS.FindAllStringSubmatch(styles(t), -1) {
		scheme := map[string]rgb{}
		for _, colour := range variable.FindAllStringSubmatch(match[2], -1) {
			scheme[colour[1]] = parseColour(t, colour[4])
		}
		require.Len(t, scheme, 6, match[1])
		all[match[1]] = scheme
	}
	offered := []string{"usual"}
	for _, p := range profile.Choices {
		if p.Name == "colours" {
			for _, v := range p.Values {
				if v.Value != "" {
					offered = append(offered, v.Value)
				}
			}
		}
	}
	require.ElementsMatch(t, offered, slices.Collect(maps.Keys(all)), "those that can be chosen")
	return all
}

// eyes has what of linear light is seen by those who lack a kind of cone:
// Machado, Oliveira and Fernandes, A Physiologically-based Model for Simulation
// of Color Vision Deficiency (IEEE TVCG 15, 2009), severity 1.0; the numbers are
// from memory.
var eyes = map[string][3]rgb{
	"all cones": {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"no L":      {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"no M":      {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"no S":      {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

func seen(c rgb, eye [3]rgb) (s rgb) {
	for i, row := range eye {
		s[i] = min(1, max(0, row[0]*c[0]+row[1]*c[1]+row[2]*c[2]))
	}
	return s
}

// difference is the colour difference of CIE 1976 (L*a*b*, ISO/CIE 11664-4) in the light of D65.
func difference(a, b rgb) float64 {
	lab := func(c rgb) (l [3]float64) {
		f := func(t float64) float64 {
			if t > math.Pow(6.0/29, 3) {
				return math.Cbrt(t)
			}
			return t*29*29/(3*6*6) + 4.0/29
		}
		x := f((0.4124*c[0] + 0.3576*c[1] + 0.1805*c[2]) / 0.9505)
		y := f(0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2])
		z := f((0.0193*c[0] + 0.1192*c[1] + 0.9505*c[2]) / 1.0890)
		return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
	}
	p, q := lab(a), lab(b)
	return math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
}

// closest is the least of a measure over any two colours of a scheme, and whose
// it is.
func closest(scheme map[string]rgb, measure func(a, b rgb) float64) (least float64, which string) {
	names := slices.Sorted(maps.Keys(scheme))
	least = math.Inf(1)
	for i, a := range names {
		for _, b := range names[:i] {
			if m := measure(scheme[a], scheme[b]); m < least {
				least, which = m, a+" and "+b
			}
		}
	}
	return least, which
}

// What is said of the schemes, where they are chosen and in the style sheet.
func TestSchemes(t *testing.T) {
	all := schemes(t)
	colours := themed(t, "dark")
	gap, dark, cell := colours["puzzle"], colours["panel"], colours["cell"]
	for name, scheme := range all {
		for colour, c := range scheme {
			assert.GreaterOrEqual(t, contrast(c, gap), 3.0, "%s %s beside the gaps (WCAG 2.2, 1.4.11)", name, colour)
			assert.GreaterOrEqual(t, contrast(c, cell), 3.0, "%s %s in the figure that is tapped, beside what is hollow", name, colour)
			assert.GreaterOrEqual(t, contrast(c, dark), 3.0, "%s %s in the dark, where the gaps are not seen", name, colour)
		}
	}
	assert.GreaterOrEqual(t, contrast(gap, themed(t, "light")["panel"]), 3.0, "the gaps in the light")

	step, which := closest(all["stepped"], contrast)
	assert.GreaterOrEqual(t, step, 1.3, which)
	usual, which := closest(all["usual"], contrast)
	assert.Less(t, usual, 1.1, "why there is the stepped one: %s", which)

	// The closest two to whoever has it worst.
	worst := func(scheme string) float64 {
		least := math.Inf(1)
		for eye, matrix := range eyes {
			for _, row := range matrix {
				assert.InDelta(t, 1, row[0]+row[1]+row[2], 1e-5, "white is white to everybody")
			}
			d, which := closest(all[scheme], func(a, b rgb) float64 { return difference(seen(a, matrix), seen(b, matrix)) })
			t.Logf("%s, %s: %s differ by %.0f", scheme, eye, which, d)
			least = min(least, d)
		}
		return least
	}
	assert.GreaterOrEqual(t, worst("parted"), 2*worst("usual"))
	assert.GreaterOrEqual(t, worst("parted"), 30.0)
	worst("stepped")
}

// The measures against values known from outside.
func TestColourMeasures(t *testing.T) {
	white, black := rgb{1, 1, 1}, rgb{}
	assert.InDelta(t, 21, contrast(white, black), 1e-9, "WCAG 2.2: from 1 to 21")
	assert.InDelta(t, 4.54, contrast(parseColour(t, "#767676"), white), 0.01, "the lightest grey that passes on white; well known, from memory")
	assert.InDelta(t, 100, difference(white, black), 0.01, "CIE: white has L* = 100")
	assert.InDelta(t, 117.3, difference(rgb{1, 0, 0}, black), 0.5, "sRGB's red is about L* 53.2, a* 80.1, b* 67.2; well known, from memory")
}
