package parallel

import (
	"slices"
	"testing"
	"time"
)

// TestInOrder holds that what is done is told of in order, each as soon as all before
// it are done.
func TestInOrder(t *testing.T) {
	const n = 50
	var done, want []int
	InOrder(n, func(i int) {
		if i%2 == 0 { // the one behind it is done first
			time.Sleep(time.Millisecond)
		}
	}, func(i int) { done = append(done, i) })
	for i := range n {
		want = append(want, i)
	}
	if !slices.Equal(done, want) {
		t.Errorf("told of in the order %v", done)
	}
}
