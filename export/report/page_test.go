package report

import (
	"strings"
	"testing"
)

// The style reaches the page as it was written: what the templates' package
// holds for unsafe it would leave out without a word.
func TestPagesCarryTheSharedStyle(t *testing.T) {
	var b strings.Builder
	if err := Page("p", `<style>{{template "style"}}</style>`).Execute(&b, nil); err != nil {
		t.Fatal(err)
	}
	if got := strings.TrimSuffix(strings.TrimPrefix(b.String(), "<style>"), "</style>"); got != style || got == "" {
		t.Errorf("the page has %d bytes of style, not the %d written", len(got), len(style))
	}
}
