package points

import (
	"bufio"
	"errors"
	"io"
)

// The figures of the LZF format (libLZF by M. Lehmann): a reference reaches
// back at most lzfWindow bytes, and one instruction of at most three bytes
// gives at most lzfLongest bytes.
const (
	lzfWindow  = 1 << 13
	lzfLongest = 264
	lzfBuffer  = 1 << 16
)

var errLZF = errors.New("the compressed data refer to before their start")

// lzfReader decompresses a stream in pieces.
type lzfReader struct {
	from   io.ReaderAt
	at     int64 // of the next compressed byte, in from
	end    int64 // of the compressed bytes, in from
	in     *bufio.Reader
	out    []byte // decompressed: the window and what follows it
	handed int    // of out
}

func newLZF(from io.ReaderAt, at, end int64) *lzfReader {
	return &lzfReader{from: from, at: at, end: end, out: make([]byte, 0, lzfBuffer),
		in: bufio.NewReaderSize(io.NewSectionReader(from, at, end-at), 1<<15)}
}

// clone reads on from the same place, on its own.
func (z *lzfReader) clone() *lzfReader {
	c := newLZF(z.from, z.at, z.end)
	c.out, c.handed = append(c.out, z.out...), z.handed
	return c
}

// Read is io.Reader.
func (z *lzfReader) Read(p []byte) (int, error) {
	if z.handed == len(z.out) {
		if err := z.refill(); err != nil && z.handed == len(z.out) {
			return 0, err
		}
	}
	n := copy(p, z.out[z.handed:])
	z.handed += n
	return n, nil
}

// refill decompresses until the buffer is full.
func (z *lzfReader) refill() error {
	if keep := len(z.out) - lzfWindow; keep > 0 {
		z.out = z.out[:copy(z.out, z.out[keep:])]
		z.handed = len(z.out)
	}
	for len(z.out) <= cap(z.out)-lzfLongest {
		if err := z.step(); err != nil {
			return err
		}
	}
	return nil
}

// step carries out one instruction.
func (z *lzfReader) step() error {
	op, err := z.readByte()
	if err != nil {
		return err
	}
	if op < 1<<5 { // so many bytes follow as they are, and one more
		n := len(z.out)
		z.out = z.out[:n+int(op)+1]
		m, err := io.ReadFull(z.in, z.out[n:])
		z.at += int64(m)
		if err != nil {
			z.out = z.out[:n+m]
		}
		return noEOF(err)
	}
	length := int(op >> 5)
	if length == 7 {
		more, err := z.readByte()
		if err != nil {
			return noEOF(err)
		}
		length += int(more)
	}
	low, err := z.readByte()
	if err != nil {
		return noEOF(err)
	}
	return z.repeat(length+2, int(op&0x1f)<<8+int(low)+1)
}

// repeat appends length bytes from back bytes before the end; the two may
// overlap.
func (z *lzfReader) repeat(length, back int) error {
	from := len(z.out) - back
	if from < 0 {
		return errLZF
	}
	for length > 0 {
		n := min(length, len(z.out)-from)
		z.out = append(z.out, z.out[from:from+n]...)
		from += n
		length -= n
	}
	return nil
}

func (z *lzfReader) readByte() (byte, error) {
	b, err := z.in.ReadByte()
	if err == nil {
		z.at++
	}
	return b, err
}

// noEOF marks an end in the middle of an instruction.
func noEOF(err error) error {
	if err == io.EOF {
		return io.ErrUnexpectedEOF
	}
	return err
}
