package points

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/mapping/fault"
)

// scan is a small scan: three points, of which one has no return.
var scan = Batch{
	X: []float64{1.5, math.NaN(), -1000.25}, Y: []float64{-2, math.NaN(), 0.125}, Z: []float64{3, math.NaN(), 1e-3},
	T: []float64{10, 10.5, 11}, Intensity: []float64{7, 0, 255},
}

// write puts content into a file of its own.
func write(t testing.TB, name string, content []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, content, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// readAll reads a file to its end.
func readAll(path string) (all Batch, err error) {
	r, err := Open(path)
	if err != nil {
		return all, err
	}
	defer r.Close()
	var b Batch
	for {
		err := r.Next(&b)
		if err == io.EOF && b.Len() == 0 {
			return all, nil
		} else if err != nil {
			return all, err
		}
		if b.Len() == 0 || b.Len() > BatchSize {
			return all, fmt.Errorf("a batch of %d points", b.Len())
		}
		all.X, all.Y, all.Z = append(all.X, b.X...), append(all.Y, b.Y...), append(all.Z, b.Z...)
		all.T, all.Intensity = append(all.T, b.T...), append(all.Intensity, b.Intensity...)
	}
}

// same compares columns, NaN equal to NaN.
func same(t *testing.T, name string, got, want []float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d values, want %d", name, len(got), len(want))
	}
	for i := range got {
		if got[i] != want[i] && !(math.IsNaN(got[i]) && math.IsNaN(want[i])) {
			t.Fatalf("%s[%d] = %v, want %v", name, i, got[i], want[i])
		}
	}
}

func sameScan(t *testing.T, got, want Batch) {
	t.Helper()
	same(t, "x", got.X, want.X)
	same(t, "y", got.Y, want.Y)
	same(t, "z", got.Z, want.Z)
	same(t, "t", got.T, want.T)
	same(t, "intensity", got.Intensity, want.Intensity)
}

// packed is a value for each field, in the byte order.
func packed(order binary.AppendByteOrder, values ...any) []byte {
	var b bytes.Buffer
	for _, v := range values {
		if err := binary.Write(&b, order.(binary.ByteOrder), v); err != nil {
			panic(err)
		}
	}
	return b.Bytes()
}

// inEveryFormat is the scan, in each encoding, with z in single precision
// exact in binary, so that every encoding holds the same numbers.
func inEveryFormat() (files map[string][]byte, want Batch) {
	want = scan
	want.Z = []float64{3, math.NaN(), 0.0009765625}
	nan := math.NaN()
	rows := "1.5 -2 3 10 7\nnan nan nan 10.5 0\n-1000.25 0.125 0.0009765625 11 255\n"
	files = map[string][]byte{
		"ascii.ply": []byte("ply\nformat ascii 1.0\ncomment a scan\nelement vertex 3\nproperty double x\nproperty float y\n" +
			"property float z\nproperty double t\nproperty uchar intensity\nend_header\n" + rows),
		"crlf.ply": []byte(strings.ReplaceAll("ply\nformat ascii 1.0\nelement vertex 3\nproperty double x\nproperty float y\n"+
			"property float z\nproperty double t\nproperty uchar intensity\nend_header\n"+rows, "\n", "\r\n")),
		"cr.ply": []byte(strings.ReplaceAll("ply\nformat ascii 1.0\nelement vertex 3\nproperty double x\nproperty float y\n"+
			"property float z\nproperty double t\nproperty uchar intensity\nend_header\n"+rows, "\n", "\r")),
		"ascii.pcd": []byte("# .PCD v0.7 - Point Cloud Data file format\nVERSION 0.7\nFIELDS x y z t intensity\nSIZE 8 4 4 8 1\nTYPE F F F F U\n" +
			"COUNT 1 1 1 1 1\nWIDTH 3\nHEIGHT 1\nVIEWPOINT 0 0 0 1 0 0 0\nPOINTS 3\nDATA ascii\n" + rows),
		"plain.csv":     []byte("x,y,z,t,intensity\n" + strings.ReplaceAll(rows, " ", ",")),
		"semicolon.csv": []byte("\xef\xbb\xbfX; Y; Z; T; Intensity\r\n" + strings.ReplaceAll(strings.ReplaceAll(rows, " ", ";"), "\n", " \r\n")),
		"tab.csv":       []byte("\"x\"\t\"y\"\t\"z\"\tt\tintensity\n" + strings.ReplaceAll(rows, " ", "\t")),
		"space.xyz":     []byte("# taken in the morning\n\n# x y z t intensity\n" + strings.ReplaceAll(rows, " ", "   ") + "# the end\n"),
		"order.csv":     []byte("colour,t,intensity,z,y,x\nlight grey,10,7,3,-2,1.5\n,10.5,0,nan,nan,nan\nred,11,255,0.0009765625,0.125,-1000.25\n"),
	}
	for name, order := range map[string]binary.AppendByteOrder{"little": binary.LittleEndian, "big": binary.BigEndian} {
		header := "ply\r\nformat binary_" + name + "_endian 1.0\r\nobj_info none\r\nelement sensor 2\r\nproperty int id\r\n" +
			"element path 1\r\nproperty list uchar short stops\r\nelement vertex 3\r\n" +
			"property uchar intensity\r\nproperty ushort ring\r\nproperty double x\r\nproperty float y\r\nproperty float32 z\r\nproperty float64 t\r\n"
		body := packed(order, int32(1), int32(2), uint8(2), int16(5), int16(6))
		first := packed(order, uint8(7), uint16(9), 1.5, float32(-2), float32(3), 10.0)
		second := packed(order, uint8(0), uint16(9), nan, float32(nan), float32(nan), 10.5)
		third := packed(order, uint8(255), uint16(9), -1000.25, float32(0.125), float32(0.0009765625), 11.0)
		files[name+".ply"] = bytes.Join([][]byte{[]byte(header + "element face 1\r\nproperty list uchar int vertex_indices\r\nend_header\r\n"),
			body, first, second, third, packed(order, uint8(1), int32(0))}, nil)
		files[name+"-lists.ply"] = bytes.Join([][]byte{[]byte(header + "property list uint double echoes\r\nend_header\r\n"),
			body, first, packed(order, uint32(2), 8.0, 9.0), second, packed(order, uint32(0)), third, packed(order, uint32(1), 7.0)}, nil)
	}
	le := binary.LittleEndian
	pcd := "VERSION .7\nFIELDS normal x y z _ t intensity\nSIZE 4 8 4 4 1 8 1\nTYPE F F F F U F U\nCOUNT 3 1 1 1 5 1 1\nWIDTH 1\nHEIGHT 3\nPOINTS 3\nDATA "
	n, pad := []float32{0, 0, 1}, make([]byte, 5)
	files["binary.pcd"] = bytes.Join([][]byte{[]byte(pcd + "binary\n"),
		packed(le, n, 1.5, float32(-2), float32(3), pad, 10.0, uint8(7)), packed(le, n, nan, float32(nan), float32(nan), pad, 10.5, uint8(0)),
		packed(le, n, -1000.25, float32(0.125), float32(0.0009765625), pad, 11.0, uint8(255))}, nil)
	plain := packed(le, n, n, n, []float64{1.5, nan, -1000.25}, []float32{-2, float32(nan), 0.125}, []float32{3, float32(nan), 0.0009765625},
		pad, pad, pad, []float64{10, 10.5, 11}, []uint8{7, 0, 255})
	z := literalLZF(plain)
	files["compressed.pcd"] = bytes.Join([][]byte{[]byte(pcd + "binary_compressed\n"), packed(le, uint32(len(z)), uint32(len(plain))), z}, nil)
	return files, want
}

// literalLZF packs b without any back reference.
func literalLZF(b []byte) (z []byte) {
	for len(b) > 0 {
		n := min(32, len(b))
		z = append(append(z, byte(n-1)), b[:n]...)
		b = b[n:]
	}
	return z
}

func TestEveryFormatGivesTheSamePoints(t *testing.T) {
	files, want := inEveryFormat()
	for name, content := range files {
		t.Run(name, func(t *testing.T) {
			got, err := readAll(write(t, name, content))
			if err != nil {
				t.Fatal(err)
			}
			sameScan(t, got, want)
		})
	}
}

// Wherever a file is cut, reading it fails, and says how many points it holds.
func TestEveryTruncationIsFound(t *testing.T) {
	files, _ := inEveryFormat()
	for _, name := range []string{"little.ply", "big-lists.ply", "binary.pcd", "compressed.pcd"} {
		content := files[name]
		if name == "little.ply" {
			content = content[:len(content)-5] // up to the last point: what follows is not read
		}
		for n := range content {
			_, err := readAll(write(t, name, content[:n]))
			if err == nil {
				t.Fatalf("%s cut to %d of %d bytes is read", name, n, len(content))
			}
			var f *fault.Error
			if !errors.As(err, &f) || f.Remedy == "" {
				t.Fatalf("%s cut to %d bytes: %v is no fault with a remedy", name, n, err)
			}
		}
	}
}

func TestBatchesCoverALongScan(t *testing.T) {
	const n = 2*BatchSize + 17
	content := []byte(fmt.Sprintf("ply\nformat binary_little_endian 1.0\nelement vertex %d\nproperty int x\nproperty int y\nproperty int z\nproperty uint t\nend_header\n", n))
	for i := range n {
		content = binary.LittleEndian.AppendUint32(content, uint32(i))
		content = binary.LittleEndian.AppendUint32(content, uint32(-i))
		content = binary.LittleEndian.AppendUint32(content, 5)
		content = binary.LittleEndian.AppendUint32(content, uint32(2*i))
	}
	got, err := readAll(write(t, "long.ply", content))
	if err != nil {
		t.Fatal(err)
	}
	if len(got.X) != n || len(got.Intensity) != 0 {
		t.Fatalf("%d points", len(got.X))
	}
	for i := range n {
		if got.X[i] != float64(i) || got.Y[i] != float64(-i) || got.Z[i] != 5 || got.T[i] != float64(2*i) {
			t.Fatalf("point %d is %v %v %v at %v", i, got.X[i], got.Y[i], got.Z[i], got.T[i])
		}
	}
}

func TestOpenTimedWantsATime(t *testing.T) {
	if r, err := OpenTimed(write(t, "a.csv", []byte("x,y,z,t\n1,2,3,4\n"))); err != nil {
		t.Error(err)
	} else {
		r.Close()
	}
	_, err := OpenTimed(write(t, "a.csv", []byte("x,y,z,time\n1,2,3,4\n")))
	if err == nil || !strings.Contains(err.Error(), "column t") {
		t.Errorf("got %v", err)
	}
}

func TestProgressRunsFromNothingToAll(t *testing.T) {
	files, _ := inEveryFormat()
	for name, content := range files {
		r, err := Open(write(t, name, content))
		if err != nil {
			t.Fatal(err)
		}
		var b Batch
		before := r.Progress()
		if err := r.Next(&b); err != nil {
			t.Fatal(err)
		}
		if p := r.Progress(); p <= before || p > 1 {
			t.Errorf("%s: progress %g, then %g", name, before, p)
		}
		r.Close()
	}
}
