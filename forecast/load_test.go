package forecast

import "testing"

// Start-up: parsing, verifying and tabulating the embedded files.
func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := Load(); err != nil {
			b.Fatal(err)
		}
	}
}
