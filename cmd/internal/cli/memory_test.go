package cli

import "testing"

// TestPercentForHeap holds that a small heap is left five times what is in use, one
// that grows no more than is roomy, and a large one twice what is in use.
func TestPercentForHeap(t *testing.T) {
	for _, tt := range []struct {
		name  string
		inUse uint64
		want  int
	}{
		{"nothing yet", 0, 400},
		{"small", 20 << 20, 400},
		{"a quarter of what is roomy", roomyHeap / 4, 300},
		{"half of it", roomyHeap / 2, 100},
		{"large", 10 * roomyHeap, 100},
	} {
		if got := percentFor(tt.inUse); got != tt.want {
			t.Errorf("%s: %d bytes in use: %d percent, want %d", tt.name, tt.inUse, got, tt.want)
		}
	}
}
