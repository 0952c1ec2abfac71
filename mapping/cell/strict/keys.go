package strict

import (
	"reflect"
	"strings"
)

// keysOf lists the keys of a struct's fields, in their order.
func keysOf(t reflect.Type) []string {
	keys := make([]string, t.NumField())
	for i := range keys {
		keys[i], _, _ = strings.Cut(t.Field(i).Tag.Get("yaml"), ",")
	}
	return keys
}

// suggestion is the remedy for an unknown key: the nearest known one where it is
// so near that a slip of the hand is likely, else all of them.
func suggestion(key string, known []string) string {
	best, least := "", 1+len(key)/3
	for _, k := range known {
		if e := edits(strings.ToLower(key), k); e <= least && (best == "" || e < least) {
			best, least = k, e
		}
	}
	if best != "" {
		return "write " + best
	}
	return "the keys here are " + strings.Join(known, ", ")
}

// edits is the least number of letters to insert, delete or replace to make b
// of a (Levenshtein 1966; the rows of Wagner and Fischer, J. ACM 21 (1974) 168).
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			replaced := diagonal
			if a[i] != b[j] {
				replaced++
			}
			diagonal = row[j+1]
			row[j+1] = min(replaced, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
