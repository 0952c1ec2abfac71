package space

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"cellwall/mapping/fault"
	"cellwall/mapping/sight"

	"gonum.org/v1/gonum/spatial/r3"
)

// Format is what a file of states says it is. Its first line is a JSON object,
// see head. What follows are runs of voxels that have all in common, X fastest,
// then Y, then Z: each an unsigned number in base 128, least digits first (LEB128),
// whose bits 0 and 1 are the state (0 unseen, 1 clear, 2 solid), bit 2 tells
// whether the voxels lie in the arm's reach and above the floor, and the bits
// above are the number of voxels.
const Format = "cellwall.space/1"

// FileName is the file in a map folder.
const FileName = "space.voxels"

// head is the first line.
type head struct {
	Format string     `json:"format"`
	Frame  string     `json:"frame"`
	Voxel  float64    `json:"voxel_mm"`  // edge
	Origin [3]float64 `json:"origin_mm"` // least corner of the first voxel
	Count  [3]int     `json:"count"`     // along X, Y, Z
}

const (
	stateBits = 2
	inReach   = 1 << stateBits
	runBits   = stateBits + 1
)

// Write writes the states: the same bytes for the same states.
func (s *States) Write(w io.Writer) error {
	out := bufio.NewWriter(w)
	o := s.Lattice.Origin
	line, err := json.Marshal(head{Format, "base", s.Lattice.Edge, [3]float64{o.X, o.Y, o.Z}, s.Lattice.N})
	if err != nil {
		return err
	}
	out.Write(append(line, '\n')) // what goes wrong in between is Flush's error
	var last, run uint64
	flush := func() {
		if run > 0 {
			out.Write(binary.AppendUvarint(nil, run<<runBits|last))
		}
	}
	s.each(func(c [3]int) {
		what := uint64(s.At(c))
		if s.reach.Has(c) {
			what |= inReach
		}
		if what != last {
			flush()
			last, run = what, 0
		}
		run++
	})
	flush()
	return out.Flush()
}

// each visits all voxels in the order of the file.
func (s *States) each(visit func(c [3]int)) {
	for z := range s.Lattice.N[2] {
		for y := range s.Lattice.N[1] {
			for x := range s.Lattice.N[0] {
				visit([3]int{x, y, z})
			}
		}
	}
}

// Open reads the states at path. Every error is a *fault.Error.
func Open(path string) (*States, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fault.OfOpening(path, err)
	}
	defer f.Close()
	s, err := Read(f)
	if err != nil {
		return nil, &fault.Error{File: path, Rule: err.Error(), Remedy: "map the cell again", Cause: err}
	}
	return s, nil
}

// Read reads what Write wrote.
func Read(r io.Reader) (*States, error) {
	in := bufio.NewReader(r)
	line, err := in.ReadBytes('\n')
	if err != nil {
		return nil, fmt.Errorf("it ends within its first line")
	}
	l, err := latticeOf(line)
	if err != nil {
		return nil, err
	}
	s := &States{Lattice: l, clear: sight.NewBits(l), solid: sight.NewBits(l), reach: sight.NewBits(l)}
	for at, total := 0, l.Cubes(); at < total; {
		v, err := binary.ReadUvarint(in)
		if err != nil {
			return nil, fmt.Errorf("it ends after %d of %d voxels", at, total)
		}
		run, state := v>>runBits, State(v&(inReach-1))
		if run == 0 || run > uint64(total-at) || state > Solid {
			return nil, fmt.Errorf("voxel %d: a run of %d in state %d is not possible", at, run, state)
		}
		s.take(at, at+int(run), state, v&inReach != 0)
		at += int(run)
	}
	if _, err := in.ReadByte(); err != io.EOF {
		return nil, fmt.Errorf("it goes on after the last voxel")
	}
	return s, nil
}

// latticeOf checks the first line before anything of it is believed.
func latticeOf(line []byte) (sight.Lattice, error) {
	var h head
	d := json.NewDecoder(bytes.NewReader(line))
	d.DisallowUnknownFields()
	family, _, _ := strings.Cut(Format, "/")
	switch err := d.Decode(&h); {
	case err == nil && h.Format == Format:
	case strings.HasPrefix(h.Format, family+"/"):
		return sight.Lattice{}, fmt.Errorf("its format is %q, and this version reads %q", h.Format, Format)
	default:
		return sight.Lattice{}, fmt.Errorf("it is no file of states: its first line does not say %q", Format)
	}
	l := sight.Lattice{Edge: h.Voxel, Origin: r3.Vec{X: h.Origin[0], Y: h.Origin[1], Z: h.Origin[2]}, N: h.Count}
	cubes := 1.0
	for _, n := range l.N {
		cubes *= float64(max(n, 0))
	}
	if h.Frame != "base" || !(l.Edge > 0) || math.IsInf(l.Edge, 1) || cubes < 1 || cubes > sight.MostCubes {
		return sight.Lattice{}, fmt.Errorf("%v voxels of %g mm in frame %q are not possible", l.N, l.Edge, h.Frame)
	}
	return l, nil
}

// take sets voxels from to to, counted in the order of the file.
func (s *States) take(from, to int, state State, reached bool) {
	n := s.Lattice.N
	for from < to {
		x, y, z := from%n[0], from/n[0]%n[1], from/n[0]/n[1]
		last := min(n[0], x+to-from) - 1
		switch state {
		case Clear:
			s.clear.Fill(x, last, y, z)
		case Solid:
			s.solid.Fill(x, last, y, z)
		}
		if reached {
			s.reach.Fill(x, last, y, z)
		}
		from += last - x + 1
	}
}
