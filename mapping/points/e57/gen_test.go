package e57

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"math"
	"strings"
)

// testField is a field of a made file: its element, its width in bits and the
// bits of every point.
type testField struct {
	name, attributes string
	width            int
	bits             []uint64
}

// testScan is a scan of a made file.
type testScan struct {
	pose   string // XML
	fields []testField
	count  int
	bare   bool // data packets only
}

func singleField(name string, v []float64) testField {
	f := testField{name: name, attributes: `type="Float" precision="single"`, width: 32}
	for _, x := range v {
		f.bits = append(f.bits, uint64(math.Float32bits(float32(x))))
	}
	return f
}

func doubleField(name string, v []float64) testField {
	f := testField{name: name, attributes: `type="Float"`, width: 64}
	for _, x := range v {
		f.bits = append(f.bits, math.Float64bits(x))
	}
	return f
}

// scaledField holds offset + scale * raw for raw from least to greatest.
func scaledField(name string, raw []int64, least, greatest int64, scale, offset float64) testField {
	f := testField{name: name, width: 64 - leadingZeros(uint64(greatest-least)),
		attributes: fmt.Sprintf(`type="ScaledInteger" minimum="%d" maximum="%d" scale="%v" offset="%v"`, least, greatest, scale, offset)}
	for _, r := range raw {
		f.bits = append(f.bits, uint64(r-least))
	}
	return f
}

func integerField(name string, raw []int64, least, greatest int64) testField {
	f := scaledField(name, raw, least, greatest, 1, 0)
	f.attributes = fmt.Sprintf(`type="Integer" minimum="%d" maximum="%d"`, least, greatest)
	return f
}

func leadingZeros(v uint64) (n int) {
	for n = 64; v > 0; n-- {
		v >>= 1
	}
	return n
}

// packed puts the numbers side by side, least significant bit first.
func (f *testField) packed() []byte {
	out := make([]byte, (len(f.bits)*f.width+7)/8)
	for i, v := range f.bits {
		for k := range f.width {
			if at := i*f.width + k; v>>k&1 == 1 {
				out[at/8] |= 1 << (at % 8)
			}
		}
	}
	return out
}

// section is the packets of a scan. Streams are cut at different places, and an
// index packet and an empty one lie between.
func (s *testScan) section() []byte {
	var out bytes.Buffer
	streams := make([][]byte, len(s.fields))
	for i := range s.fields {
		streams[i] = s.fields[i].packed()
	}
	for more, k := true, 0; more; k++ {
		more = false
		var sizes, data []byte
		for i, st := range streams {
			n := min(len(st), 500+37*((i+k)%5))
			sizes, data = binary.LittleEndian.AppendUint16(sizes, uint16(n)), append(data, st[:n]...)
			streams[i] = st[n:]
			more = more || len(streams[i]) > 0
		}
		out.Write(packetOf(1, append(binary.LittleEndian.AppendUint16(nil, uint16(len(streams))), append(sizes, data...)...)))
		if k == 0 && !s.bare {
			out.Write(packetOf(0, make([]byte, 12)))
			out.Write(packetOf(2, make([]byte, 8)))
		}
	}
	return out.Bytes()
}

func packetOf(kind byte, body []byte) []byte {
	for len(body)%4 != 0 {
		body = append(body, 0)
	}
	head := []byte{kind, 0}
	return append(binary.LittleEndian.AppendUint16(head, uint16(len(body)+3)), body...)
}

// testFile lays out scans and their description in pages.
func testFile(scans ...testScan) []byte {
	physical := func(logical int) uint64 { return uint64(logical/pagePayload*pageSize + logical%pagePayload) }
	content := make([]byte, headerSize)
	var x strings.Builder
	x.WriteString(`<?xml version="1.0" encoding="UTF-8"?><e57Root type="Structure" xmlns="http://www.astm.org/COMMIT/E57/2010-e57-v1.0" xmlns:nor="http://www.libe57.org/E57_NOR_surface_normals.txt">` +
		`<formatName type="String"><![CDATA[ASTM E57 3D Imaging Data File]]></formatName><guid type="String"><![CDATA[{0}]]></guid><versionMajor type="Integer">1</versionMajor><versionMinor type="Integer"/>` +
		`<data3D type="Vector" allowHeterogeneousChildren="1">`)
	for i, s := range scans {
		body := s.section()
		head := make([]byte, sectionHeader)
		head[0] = pointSection
		binary.LittleEndian.PutUint64(head[8:], uint64(sectionHeader+len(body)))
		binary.LittleEndian.PutUint64(head[16:], physical(len(content)+sectionHeader))
		fmt.Fprintf(&x, `<vectorChild type="Structure"><guid type="String"><![CDATA[{%d}]]></guid>%s<points type="CompressedVector" fileOffset="%d" recordCount="%d"><prototype type="Structure">`,
			i+1, s.pose, physical(len(content)), s.count)
		for _, f := range s.fields {
			fmt.Fprintf(&x, "<%s %s/>", f.name, f.attributes)
		}
		x.WriteString(`</prototype><codecs type="Vector" allowHeterogeneousChildren="1"/></points></vectorChild>`)
		content = append(append(content, head...), body...)
	}
	x.WriteString(`</data3D><images2D type="Vector" allowHeterogeneousChildren="1"/></e57Root>`)
	at := len(content)
	content = append(content, x.String()...)
	for len(content)%pagePayload != 0 {
		content = append(content, 0)
	}
	copy(content, signature)
	binary.LittleEndian.PutUint32(content[8:], 1)
	for i, v := range []uint64{uint64(len(content) / pagePayload * pageSize), physical(at), uint64(x.Len()), pageSize} {
		binary.LittleEndian.PutUint64(content[16+8*i:], v)
	}
	var out []byte
	for ; len(content) > 0; content = content[pagePayload:] {
		out = append(out, sealed(content[:pagePayload])...)
	}
	return out
}

// sealed is a page with its checksum.
func sealed(payload []byte) []byte {
	sum := crc32.Checksum(payload, crc32.MakeTable(crc32.Castagnoli))
	return binary.BigEndian.AppendUint32(append([]byte{}, payload...), sum)
}
