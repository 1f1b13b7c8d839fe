package page_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

var screenshots = flag.String("screenshots", "../../build/screenshots", "`folder` for pictures of every page")

// tallest is the most of a page that a picture has, in CSS pixels.
const tallest = 3000

// Pictures of every page, to be looked at, from top to bottom: on a phone and on a
// desk, in light and in dark.
//
//	go test ./web -run Screenshots -args -screenshots "$PWD/elsewhere"
func TestScreenshots(t *testing.T) {
	require.NoError(t, os.MkdirAll(*screenshots, 0o755))
	s, home := serve(t)
	for _, visitor := range visitors {
		b := visit(t, s, home, visitor.full)
		for _, p := range samplePages(t, s) {
			p.open(b)
			for _, screen := range screens {
				for _, dark := range []bool{false, true} {
					scheme := "light"
					if dark {
						scheme = "dark"
					}
					b.Show(screen.width, screen.height, dark)
					if whole := script[int64](t, b, `document.documentElement.scrollHeight`); whole > screen.height {
						b.Show(screen.width, min(whole, tallest), dark)
					}
					picture, err := chromedp.Run(b.Context, chromedp.CaptureScreenshot())
					require.NoError(t, err)
					name := fmt.Sprintf("%s-%s-%s-%s.png", p.Name, visitor.name, screen.name, scheme)
					require.NoError(t, os.WriteFile(filepath.Join(*screenshots, name), picture, 0o644))
				}
			}
		}
	}
}
