//go:build !linux

package whole

import (
	"errors"
	"os"
)

// exchange swaps two folders by way of a third name; where the second step
// fails the first is taken back.
func exchange(a, b string) error {
	aside := a + ".old"
	if err := os.Rename(b, aside); err != nil {
		return err
	}
	if err := os.Rename(a, b); err != nil {
		return errors.Join(err, os.Rename(aside, b))
	}
	return os.Rename(aside, a)
}
