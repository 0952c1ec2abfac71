package cell

import (
	"fmt"
	"math"
	"os"
	"strconv"

	"cellwall/mapping/cell/strict"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
)

// Remount is the text of the folder's cell.yaml, which has a mount, with another
// mount and another latency (s) in it and all else, comments and order, as it
// stands.
func (c *Cell) Remount(flangeFromScanner geom.Pose, latency float64) ([]byte, error) {
	path := c.Path(fileName)
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, fault.OfOpening(path, err)
	}
	roll, pitch, yaw := flangeFromScanner.R.RPY()
	t := flangeFromScanner.T
	xyz, rpy := [3]string{mm(t.X), mm(t.Y), mm(t.Z)}, [3]string{deg(roll), deg(pitch), deg(yaw)}
	late := short(1000*latency, 3)
	doc, err := strict.Parse(path, text)
	if err != nil {
		return nil, err
	}
	numbers := map[string]string{}
	for k := range 3 {
		numbers[fmt.Sprintf("scanner.mount.xyz_mm[%d]", k)] = xyz[k]
		numbers[fmt.Sprintf("scanner.mount.rpy_deg[%d]", k)] = rpy[k]
	}
	const key = "scanner.latency_ms"
	if doc.Has(key) {
		numbers[key] = late
	}
	if text, err = doc.Numbers(text, numbers); err != nil {
		return nil, err
	}
	if !doc.Has(key) && late != "0" {
		if text, err = doc.Insert(text, "scanner", "latency_ms: "+late); err != nil {
			return nil, err
		}
	}
	return text, verify(path, text, flangeFromScanner, latency)
}

// verify reads the new text back: what it says must be the mount.
func verify(path string, text []byte, want geom.Pose, latency float64) error {
	doc, err := strict.Parse(path, text)
	if err != nil {
		return err
	}
	var f cellFile
	if err := doc.Into(&f); err != nil {
		return err
	}
	const rounding = 1e-3 // mm; and of the turn a point a metre away
	got := pose(f.Scanner.Mount.XYZ, f.Scanner.Mount.RPY).Minus(want)
	for k, d := range got {
		if k >= 3 {
			d *= 1000
		}
		if math.Abs(d) > 2*rounding || math.Abs(f.Scanner.Latency-1000*latency) > rounding {
			return doc.Fault("scanner", "the new mount cannot be put into this file", "write it by hand")
		}
	}
	return nil
}

// mm and deg spell a length and an angle (rad) as far as they can matter: a
// micrometre, and a tenth of that a metre away.
func mm(v float64) string  { return short(v, 3) }
func deg(v float64) string { return short(v/degree, 5) }

// short is v with at most so many decimals and no zeros at the end.
func short(v float64, decimals int) string {
	scale := math.Pow(10, float64(decimals))
	return strconv.FormatFloat(math.Round(v*scale)/scale+0, 'f', -1, 64)
}
