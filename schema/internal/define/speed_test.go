package define

import "testing"

func BenchmarkDefinitions(b *testing.B) {
	for b.Loop() {
		if _, err := readSpec(); err != nil {
			b.Fatal(err)
		}
	}
}
