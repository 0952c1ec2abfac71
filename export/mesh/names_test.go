package mesh

import (
	"slices"
	"strings"
	"testing"
)

func TestFileNames(t *testing.T) {
	in := []string{"mill", "Mill", "mill-2", "../../etc/x", "a/b\\c:d", "stół", "CON", "com1.x", "lpt", "", "...", strings.Repeat("n", 300), "mill"}
	want := []string{"mill", "Mill-2", "mill-2-2", "etc-x", "a-b-c-d", "st", "object-CON", "object-com1.x", "lpt", "object-", "object--2", strings.Repeat("n", 100), "mill-3"}
	got := FileNames(in)
	for i := range in {
		if got[i] != want[i] {
			t.Errorf("%q becomes %q, want %q", in[i], got[i], want[i])
		}
	}
	folded := make([]string, len(got))
	for i, g := range got {
		folded[i] = strings.ToLower(g)
	}
	slices.Sort(folded)
	if len(slices.Compact(folded)) != len(in) {
		t.Error("two objects share a file")
	}
}
