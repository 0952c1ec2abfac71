package surface

import (
	"math/rand/v2"
	"testing"
)

func TestIndex(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 0))
	seen := map[uint64]int32{}
	var nodes []node
	for range 5000 {
		code := r.Uint64N(1 << 16) // dense, so that neighbours collide
		if _, ok := seen[code]; !ok {
			seen[code] = int32(len(nodes))
			nodes = append(nodes, node{code: code})
		}
	}
	x := newIndex(nodes)
	for code := range uint64(1 << 16) {
		want, ok := seen[code]
		if !ok {
			want = -1
		}
		if got := x.find(code); got != want {
			t.Fatalf("%d is node %d, want %d", code, got, want)
		}
	}
	if got := newIndex(nil).find(3); got != -1 {
		t.Errorf("nothing holds node %d", got)
	}
}
