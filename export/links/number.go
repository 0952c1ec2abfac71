package links

import (
	"strings"

	"cellwall/export/mesh"
	"cellwall/export/value"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Decimals of what is written: a tenth of a micrometre in metres; and of angles
// what moves a point 16 m away by less than that.
const (
	metreDecimals  = 7
	radianDecimals = 9
)

// metres spells lengths given in mm.
func metres(mm ...float64) string {
	for i := range mm {
		mm[i] *= mesh.Metre
	}
	return list(metreDecimals, mm...)
}

func list(decimals int, v ...float64) string {
	words := make([]string, len(v))
	for i, x := range v {
		words[i] = value.Plain(x, decimals)
	}
	return strings.Join(words, " ")
}

func point(v r3.Vec) string { return metres(v.X, v.Y, v.Z) }

// angles are roll, pitch and yaw about fixed axes, as both formats want them.
func angles(r geom.Rot) string {
	roll, pitch, yaw := r.RPY()
	return list(radianDecimals, roll, pitch, yaw)
}
