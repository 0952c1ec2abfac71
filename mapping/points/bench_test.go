package points

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"testing"
)

// benchmark reads a file of half a million points over and over.
func benchmark(b *testing.B, name string, content []byte) {
	path := write(b, name, content)
	b.SetBytes(int64(len(content)))
	b.ReportAllocs()
	for b.Loop() {
		r, err := Open(path)
		if err != nil {
			b.Fatal(err)
		}
		var batch Batch
		for err = nil; err == nil; err = r.Next(&batch) {
		}
		if err != io.EOF {
			b.Fatal(err)
		}
		r.Close()
	}
}

const benchmarkPoints = 500_000

func coordinate(i, axis int) float64 { return 1000 * math.Sin(float64(i*(axis+1))) }

func binaryPLY(order binary.AppendByteOrder, name string) []byte {
	content := []byte(fmt.Sprintf("ply\nformat binary_%s_endian 1.0\nelement vertex %d\nproperty float x\nproperty float y\nproperty float z\nproperty double t\nproperty uchar intensity\nend_header\n", name, benchmarkPoints))
	for i := range benchmarkPoints {
		for axis := range 3 {
			content = order.AppendUint32(content, math.Float32bits(float32(coordinate(i, axis))))
		}
		content = order.AppendUint64(content, math.Float64bits(float64(i)*1e-5))
		content = append(content, byte(i))
	}
	return content
}

func BenchmarkPLYLittleEndian(b *testing.B) {
	benchmark(b, "a.ply", binaryPLY(binary.LittleEndian, "little"))
}

func BenchmarkPLYBigEndian(b *testing.B) {
	benchmark(b, "a.ply", binaryPLY(binary.BigEndian, "big"))
}

func BenchmarkCSV(b *testing.B) {
	var text bytes.Buffer
	text.WriteString("x,y,z,t\n")
	for i := range benchmarkPoints {
		fmt.Fprintf(&text, "%.4f,%.4f,%.4f,%.6f\n", coordinate(i, 0), coordinate(i, 1), coordinate(i, 2), float64(i)*1e-5)
	}
	benchmark(b, "a.csv", text.Bytes())
}

func BenchmarkPCDCompressed(b *testing.B) {
	plain := []byte{}
	for axis := range 3 {
		for i := range benchmarkPoints {
			plain = binary.LittleEndian.AppendUint32(plain, math.Float32bits(float32(coordinate(i, axis))))
		}
	}
	z := literalLZF(plain)
	content := fmt.Appendf(nil, "VERSION .7\nFIELDS x y z\nSIZE 4 4 4\nTYPE F F F\nWIDTH %[1]d\nHEIGHT 1\nPOINTS %[1]d\nDATA binary_compressed\n", benchmarkPoints)
	content = binary.LittleEndian.AppendUint32(content, uint32(len(z)))
	content = binary.LittleEndian.AppendUint32(content, uint32(len(plain)))
	benchmark(b, "a.pcd", append(content, z...))
}
