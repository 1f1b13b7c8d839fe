package picture

import (
	"fmt"
	"strings"

	"rsc.io/qr"
)

// QRFile is a QR code as a PNG, with the margin of four modules that readers need.
func QRFile(text string) ([]byte, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return nil, err
	}
	return code.PNG(), nil
}

// QR draws a QR code. It stays dark on light whatever the page's colours
// are, with the margin of four modules that readers need.
func QR(text string) (string, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return "", err
	}
	const margin = 4
	var b svg
	side := code.Size + 2*margin
	b.begin("qr", side, side, "The link as a QR code", `shape-rendering="crispEdges"`)
	b.rect("qr-ground", 0, 0, float64(side), float64(side), 0)
	var dark strings.Builder
	for y := range code.Size {
		for x := 0; x < code.Size; x++ {
			from := x
			for x < code.Size && code.Black(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&dark, "M%d %dh%dv1h-%dz", from+margin, y+margin, x-from, x-from)
			}
		}
	}
	b.path("qr-dark", dark.String())
	return b.end(), nil
}
