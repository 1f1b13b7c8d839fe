//go:build pictures

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

var (
	pictures = flag.String("pictures", "../../build/screenshots", "`folder` for pictures of every page")
	inDark   = flag.Bool("dark", false, "pictures in dark colours too")
)

// tallest is the most of a page that a picture has, in CSS pixels.
const tallest = 3000

// Pictures of every page, to be looked at, from top to bottom: on a phone and on a
// desk, in light and, where asked for, in dark. This is a task, which only its build tag
// asks for.
//
//	go test -tags pictures -run Pictures ./web/page -dark
func TestPictures(t *testing.T) {
	t.Parallel()
	require.NoError(t, os.MkdirAll(*pictures, 0o755))
	s, home := serve(t)
	samples := samplePages(t, s)
	schemes := 1
	if *inDark {
		schemes = 2
	}
	for _, visitor := range visitors {
		for _, screen := range screens {
			t.Run(visitor.name+" "+screen.name, func(t *testing.T) {
				t.Parallel()
				b := visit(t, s, home, visitor.full)
				for _, p := range samples {
					p.open(b)
					asTheDevice(b)
					for _, dark := range []bool{false, true}[:schemes] {
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
						require.NoError(t, os.WriteFile(filepath.Join(*pictures, name), picture, 0o644))
					}
				}
			})
		}
	}
}
