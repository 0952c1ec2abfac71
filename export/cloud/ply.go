package cloud

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"

	"cellwall/mapping"
	"cellwall/scene"
)

// File is the name of what Write makes.
const File = "cloud.ply"

// Write puts the cloud into dir/cloud.ply: binary little-endian, mm, base frame.
// Comments in the header say what the numbers of objects and scans stand for.
func Write(dir string, c *mapping.Cloud, s *scene.Scene) (err error) {
	f, err := os.Create(filepath.Join(dir, File))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	return encode(f, assign(c, s), c, s)
}

func encode(w io.Writer, points []point, c *mapping.Cloud, s *scene.Scene) error {
	b := bufio.NewWriterSize(w, 1<<16)
	header(b, len(points), c, s)
	row := make([]byte, 0, rowSize)
	for i := range points {
		row = points[i].append(row[:0])
		if _, err := b.Write(row); err != nil {
			return err
		}
	}
	return b.Flush()
}

// rowSize is that of one point: seven floats and three integers of 4 bytes.
const rowSize = 10 * 4

func (p *point) append(row []byte) []byte {
	for _, v := range [7]float64{p.at.X, p.at.Y, p.at.Z, p.normal.X, p.normal.Y, p.normal.Z, p.residual} {
		row = binary.LittleEndian.AppendUint32(row, math.Float32bits(float32(v)))
	}
	row = binary.LittleEndian.AppendUint32(row, uint32(int32(p.object)))
	row = binary.LittleEndian.AppendUint32(row, uint32(p.scan))
	return binary.LittleEndian.AppendUint32(row, uint32(min(p.merged, math.MaxUint32)))
}

func header(w io.Writer, n int, c *mapping.Cloud, s *scene.Scene) {
	line := func(format string, a ...any) { fmt.Fprintf(w, format+"\n", a...) }
	line("ply\nformat binary_little_endian 1.0")
	line("comment %s: merged cloud, one point per voxel and scan: the mean of the points in it", quoted(s.Cell))
	line("comment x y z: mm, base frame")
	line("comment nx ny nz: unit normal toward the scanner; 0 0 0 where unknown")
	line("comment residual: distance from the fitted surface along the normal, mm; nan where the point lies on no surface")
	line("comment points: number of measured points that the mean was taken of")
	line("comment object %d: none", none)
	for i, o := range s.Objects {
		line("comment object %d: %s", i, quoted(o.Name))
	}
	for i, name := range c.Scans {
		line("comment scan %d: %s", i, quoted(name))
	}
	line("element vertex %d", n)
	for _, name := range []string{"x", "y", "z", "nx", "ny", "nz", "residual"} {
		line("property float %s", name)
	}
	line("property int object\nproperty int scan\nproperty uint points\nend_header")
}

// quoted keeps a name from breaking the header, which is lines of ASCII.
func quoted(name string) string { return strconv.QuoteToASCII(name) }
