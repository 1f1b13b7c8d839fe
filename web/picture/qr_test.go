package picture

import (
	"bytes"
	"fmt"
	"image/png"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"rsc.io/qr"
)

// Every module is drawn as it is encoded, with a margin of four around them.
func TestQRPicture(t *testing.T) {
	t.Parallel()
	const text = "https://slotcast.example/device/AAAAAAAAAAAAAAAAAAAAAA"
	picture, err := QR(text)
	require.NoError(t, err)
	code, err := qr.Encode(text, qr.M)
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(picture, fmt.Sprintf(`<svg class="qr" viewBox="0 0 %d %d"`, code.Size+8, code.Size+8)))
	dark := map[[2]int]bool{}
	for _, row := range regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-(\d+)z`).FindAllStringSubmatch(picture, -1) {
		var x, y, long, back int
		_, err := fmt.Sscan(strings.Join(row[1:], " "), &x, &y, &long, &back)
		require.NoError(t, err)
		require.Equal(t, long, back)
		for i := range long {
			dark[[2]int{x + i - 4, y - 4}] = true
		}
	}
	for y := range code.Size {
		for x := range code.Size {
			assert.Equal(t, code.Black(x, y), dark[[2]int{x, y}], "%d %d", x, y)
		}
	}
}

// The same as a file: each module eight pixels wide.
func TestQRFile(t *testing.T) {
	t.Parallel()
	const text = "https://slotcast.example/case/00000?question=true"
	file, err := QRFile(text)
	require.NoError(t, err)
	drawn, err := png.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	code, err := qr.Encode(text, qr.M)
	require.NoError(t, err)
	require.Equal(t, 8*(code.Size+8), drawn.Bounds().Dx())
	for y := range drawn.Bounds().Dy() {
		for x := range drawn.Bounds().Dx() {
			level, _, _, _ := drawn.At(x, y).RGBA()
			require.Equal(t, code.Black(x/8-4, y/8-4), level == 0, "%d %d", x, y)
		}
	}
}
