// Package mappingtest gives tests of this room and those above it invented cells
// that are scanned and merged, as net/http/httptest gives servers. Only tests
// import it.
package mappingtest

import (
	"testing"

	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/cell"
)

// Write casts an invented cell at the settings into a folder of the test's, and
// opens it.
func Write(t testing.TB, s fixtures.Settings) (*fixtures.Shop, *cell.Cell) {
	t.Helper()
	dir := t.TempDir()
	shop, err := s.Write(dir)
	if err != nil {
		t.Fatal(err)
	}
	return shop, Open(t, dir)
}

// Open opens the cell in a folder, which has to be right.
func Open(t testing.TB, dir string) *cell.Cell {
	t.Helper()
	c, err := cell.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Merge merges the scans of a cell, which have to be right.
func Merge(t testing.TB, c *cell.Cell) *mapping.Cloud {
	t.Helper()
	cloud, err := mapping.Merge(t.Context(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return cloud
}

// Scan writes an invented cell and merges its scans.
func Scan(t testing.TB, s fixtures.Settings) (*fixtures.Shop, *cell.Cell, *mapping.Cloud) {
	t.Helper()
	shop, c := Write(t, s)
	return shop, c, Merge(t, c)
}
