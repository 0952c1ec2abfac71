package e57

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/fault"
)

// twoScans is a file with scaled integers and a pose, then floats, and what its
// points are in the frame of each scan.
func twoScans() (content []byte, want [2][][]float64) {
	scans, want := madeScans()
	return testFile(scans[:]...), want
}

// TwoScans is twoScans for the tests of the packages above, in data packets
// only.
func TwoScans() []byte {
	scans, _ := madeScans()
	for i := range scans {
		scans[i].bare = true
	}
	return testFile(scans[:]...)
}

// madeScans are what twoScans lays out.
func madeScans() (scans [2]testScan, want [2][][]float64) {
	const n = 3000
	rng := rand.New(rand.NewPCG(1, 2))
	var raw [3][]int64
	var plain [3][]float64
	for axis := range 3 {
		for range n {
			raw[axis] = append(raw[axis], rng.Int64N(90_000)-40_000)
			plain[axis] = append(plain[axis], float64(float32(rng.NormFloat64())))
		}
	}
	state, stamp := make([]int64, n), make([]float64, n)
	state[5] = 2
	for i := range stamp {
		stamp[i] = float64(i) / 7
	}
	scaled := testScan{count: n,
		pose: `<pose type="Structure"><rotation type="Structure"><w type="Float">0.5</w><x type="Float">0.5</x><y type="Float">0.5</y><z type="Float">0.5</z></rotation>` +
			`<translation type="Structure"><x type="Float">10</x><y type="Float"/><z type="Float">-2.5e0</z></translation></pose>`,
		fields: []testField{
			integerField("rowIndex", make([]int64, n), 0, 0),
			scaledField("cartesianX", raw[0], -40_000, 50_000, 0.001, 0),
			{name: "nor:normalX", attributes: `type="Float" precision="single"`, width: 32, bits: make([]uint64, n)},
			scaledField("cartesianY", raw[1], -40_000, 50_000, 0.001, 5),
			scaledField("cartesianZ", raw[2], -1<<40, 1<<41, 0.0001, 0),
			integerField("cartesianInvalidState", state, 0, 2),
		}}
	floats := testScan{count: n, fields: []testField{
		singleField("cartesianX", plain[0]), doubleField("cartesianY", plain[1]), singleField("cartesianZ", plain[2]), doubleField("timeStamp", stamp)}}
	for axis, f := range []struct{ scale, offset float64 }{{0.001, 0}, {0.001, 5}, {0.0001, 0}} {
		var c []float64
		for _, r := range raw[axis] {
			c = append(c, f.offset+f.scale*float64(r))
		}
		want[0] = append(want[0], c)
	}
	want[1] = append(plain[:], stamp)
	return [2]testScan{scaled, floats}, want
}

// read collects the named fields of a scan in pieces.
func read(f *File, s *Scan, names ...string) ([][]float64, error) {
	p, err := f.Points(s, names...)
	if err != nil {
		return nil, err
	}
	all, piece := make([][]float64, len(names)), make([][]float64, len(names))
	for i := range piece {
		piece[i] = make([]float64, 777)
	}
	for {
		n, err := p.Next(piece)
		if err == io.EOF {
			return all, nil
		} else if err != nil {
			return all, err
		}
		for i := range all {
			all[i] = append(all[i], piece[i][:n]...)
		}
	}
}

func open(content []byte) (*File, error) {
	return Open("a.e57", bytes.NewReader(content), int64(len(content)))
}

func TestPointsOfEveryKind(t *testing.T) {
	content, want := twoScans()
	f, err := open(content)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Scans) != 2 || f.Scans[0].Has("timeStamp") || !f.Scans[1].Has("timeStamp") || f.Scans[0].Has("normalX") {
		t.Fatalf("scans %+v", f.Scans)
	}
	if at := f.Scans[0].FileFromScan; at.T != (r3.Vec{X: 10, Z: -2.5}) || r3.Norm(r3.Sub(at.R.Axis(0), r3.Vec{Y: 1})) > 1e-12 {
		t.Errorf("pose %+v", at)
	}
	for i, names := range [][]string{{"cartesianX", "cartesianY", "cartesianZ"}, {"cartesianX", "cartesianY", "cartesianZ", "timeStamp"}} {
		got, err := read(f, &f.Scans[i], names...)
		if err != nil {
			t.Fatal(err)
		}
		for k := range names {
			if len(got[k]) != len(want[i][k]) {
				t.Fatalf("%d values of %s", len(got[k]), names[k])
			}
			for j := range got[k] {
				if got[k][j] != want[i][k][j] {
					t.Fatalf("scan %d, %s[%d] is %v, want %v", i, names[k], j, got[k][j], want[i][k][j])
				}
			}
		}
	}
	if row, err := read(f, &f.Scans[0], "rowIndex", "cartesianInvalidState"); err != nil || len(row[0]) != 3000 || row[1][5] != 2 || row[1][4] != 0 {
		t.Errorf("%v", err)
	}
}

func TestWidestIntegers(t *testing.T) {
	raw := []int64{math.MinInt64, math.MaxInt64, -1, 0, 1 << 62}
	small := []int64{0, 1, 2, 3, 4}
	content := testFile(testScan{count: 5, fields: []testField{integerField("a", small, 0, 6), integerField("b", raw, math.MinInt64, math.MaxInt64)}})
	f, err := open(content)
	if err != nil {
		t.Fatal(err)
	}
	got, err := read(f, &f.Scans[0], "a", "b")
	if err != nil {
		t.Fatal(err)
	}
	for i := range raw {
		if got[0][i] != float64(small[i]) || got[1][i] != float64(raw[i]) {
			t.Errorf("%d: %v %v", i, got[0][i], got[1][i])
		}
	}
}

// Any single byte that is changed in the part that is read is found.
func TestChecksumsFindEveryChange(t *testing.T) {
	content, _ := twoScans()
	rng := rand.New(rand.NewPCG(3, 3))
	for range 300 {
		bad := bytes.Clone(content)
		at := rng.IntN(len(bad))
		bad[at] ^= 1 << rng.IntN(8)
		f, err := open(bad)
		for i := 0; err == nil && i < len(f.Scans); i++ {
			_, err = read(f, &f.Scans[i], "cartesianX", "cartesianY", "cartesianZ")
		}
		wantFault(t, err, "")
	}
}

func TestFaultsSayWhatIsWrong(t *testing.T) {
	content, _ := twoScans()
	header := func(change func(h []byte)) []byte {
		page := bytes.Clone(content[:pagePayload])
		change(page)
		return append(sealed(page), content[pageSize:]...)
	}
	put := func(at int, v uint64) []byte {
		return header(func(h []byte) { binary.LittleEndian.PutUint64(h[at:], v) })
	}
	for _, c := range []struct {
		content []byte
		words   string
	}{
		{content[:100], "byte 100: the file ends within its first page"},
		{content[:len(content)-pageSize], "its header promises"},
		{header(func(h []byte) { h[0] = 'X' }), "it does not begin with ASTM-E57"},
		{header(func(h []byte) { h[8] = 2 }), "E57 version 2 is not known"},
		{put(40, 512), "pages of 512 bytes are not known"},
		{put(24, 1<<62), "points to no data"},
		{put(24, pagePayload+1), "points to no data"},
		{put(32, 1<<40), "is too long"},
		{put(32, 40), "its description cannot be read"},
	} {
		_, err := open(c.content)
		wantFault(t, err, c.words)
	}
	x := []float64{1, 2, 3}
	for _, c := range []struct {
		scan  testScan
		words string
	}{
		{testScan{count: 3, fields: []testField{{name: "cartesianX", attributes: `type="Blob"`}}}, `the field cartesianX has the type "Blob"`},
		{testScan{count: 3, fields: []testField{{name: "cartesianX", attributes: `type="Integer" minimum="3" maximum="1"`}}}, "has its minimum above its maximum"},
		{testScan{count: 3, fields: []testField{{name: "cartesianX", attributes: `type="Integer" minimum="x"`}}}, `is "x", not an integer`},
		{testScan{count: 3, fields: []testField{{name: "cartesianX", attributes: `type="ScaledInteger" scale="inf"`}}}, "not a finite number"},
		{testScan{count: 3, pose: `<pose><rotation><w>2</w></rotation></pose>`}, "has length 2, not 1"},
		{testScan{count: 3, pose: `<pose><translation><x>wide</x></translation></pose>`}, `"wide" is not a finite number`},
		{testScan{count: -3}, `its recordCount "-3" is not a count`},
		{testScan{count: 4, fields: []testField{doubleField("cartesianX", x)}}, "the points end after 3 of the 4"},
		{testScan{count: 1 << 32, fields: []testField{doubleField("cartesianX", x)}}, "the points end after 3 of the 4294967296"},
		{testScan{count: 3, fields: []testField{doubleField("cartesianY", x)}}, "it has no numbers cartesianX"},
		{testScan{count: 3, fields: []testField{{name: "cartesianX", attributes: `type="String"`}}}, "it has no numbers cartesianX"},
	} {
		f, err := open(testFile(c.scan))
		if err == nil {
			_, err = read(f, &f.Scans[0], "cartesianX")
		}
		wantFault(t, err, c.words)
	}
}

func wantFault(t *testing.T, err error, words string) {
	t.Helper()
	var f *fault.Error
	if !errors.As(err, &f) || !strings.Contains(f.Error(), words) || f.Remedy == "" {
		t.Errorf("got  %v\nwant %s", err, words)
	}
}

// FuzzE57 seals the pages anew, so that the fuzzer gets past the checksums.
func FuzzE57(f *testing.F) {
	content, _ := twoScans()
	f.Add(content)
	f.Add(testFile(testScan{count: 2, fields: []testField{doubleField("cartesianX", []float64{1, 2})}}))
	f.Fuzz(func(t *testing.T, content []byte) {
		if len(content) > 1<<16 {
			return
		}
		var pages []byte
		for ; len(content) >= pageSize; content = content[pageSize:] {
			pages = append(pages, sealed(content[:pagePayload])...)
		}
		if len(pages) > 0 {
			binary.LittleEndian.PutUint64(pages[16:], uint64(len(pages)))
			copy(pages, sealed(pages[:pagePayload]))
		}
		file, err := open(pages)
		for i := 0; err == nil && i < len(file.Scans); i++ {
			if s := &file.Scans[i]; s.Has("cartesianX") && s.Count < 1<<20 {
				_, err = read(file, s, "cartesianX")
			}
		}
		var bad *fault.Error
		if err != nil && (!errors.As(err, &bad) || bad.Remedy == "") {
			t.Fatalf("%v is no fault with a remedy", err)
		}
	})
}
