package points

import (
	"bytes"
	"io"
	"testing"
)

// A literal, a short reference, a long one that overlaps itself.
func TestLZFInstructions(t *testing.T) {
	packed := []byte{2, 'a', 'b', 'c', 1 << 5, 2, 7 << 5, 20, 0}
	want := "abcabc" + string(bytes.Repeat([]byte{'c'}, 29))
	got, err := io.ReadAll(newLZF(bytes.NewReader(packed), 0, int64(len(packed))))
	if err != nil || string(got) != want {
		t.Errorf("got %q, %v; want %q", got, err, want)
	}
}

// A clone reads on from where its parent stood, and neither disturbs the other.
func TestLZFClone(t *testing.T) {
	var plain []byte
	for i := range 300_000 {
		plain = append(plain, byte(i*i>>7))
	}
	packed := literalLZF(plain)
	packed = append(packed, 7<<5|0x1f, 255, 0xff) // 264 bytes from 8192 back
	plain = append(plain, plain[len(plain)-8192:][:264]...)
	z := newLZF(bytes.NewReader(packed), 0, int64(len(packed)))
	if _, err := io.CopyN(io.Discard, z, 100_001); err != nil {
		t.Fatal(err)
	}
	c := z.clone()
	for _, r := range []io.Reader{z, c} {
		if got, err := io.ReadAll(r); err != nil || !bytes.Equal(got, plain[100_001:]) {
			t.Errorf("%d bytes, %v", len(got), err)
		}
	}
}
