package picture

import (
	"fmt"
	"strings"

	"rsc.io/qr"
)

// QR draws a QR code. It stays dark on light whatever the page's colours
// are, with the margin of four modules that readers need.
func QR(text string) (string, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return "", err
	}
	const margin = 4
	var b strings.Builder
	side := code.Size + 2*margin
	fmt.Fprintf(&b, `<svg class="qr" viewBox="0 0 %d %d" role="img" aria-label="The link as a QR code" shape-rendering="crispEdges"><rect class="qr-ground" width="%d" height="%d"/><path class="qr-dark" d="`, side, side, side, side)
	for y := range code.Size {
		for x := 0; x < code.Size; x++ {
			from := x
			for x < code.Size && code.Black(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", from+margin, y+margin, x-from, x-from)
			}
		}
	}
	b.WriteString(`"/></svg>`)
	return b.String(), nil
}
