package points

import (
	"encoding/binary"
	"math"
	"math/bits"
)

// scalar is a binary number type.
type scalar uint8

const (
	noScalar scalar = iota
	int8Scalar
	uint8Scalar
	int16Scalar
	uint16Scalar
	int32Scalar
	uint32Scalar
	int64Scalar
	uint64Scalar
	float32Scalar
	float64Scalar
)

// size is in bytes.
func (k scalar) size() int {
	return [...]int{0, 1, 1, 2, 2, 4, 4, 8, 8, 4, 8}[k]
}

// decode reads one number of type k from every stride bytes of buf into dst.
// It swaps bytes where the file is big-endian.
func (k scalar) decode(dst []float64, buf []byte, stride int, big bool) {
	p := 0
	switch k {
	case float32Scalar:
		for i := range dst {
			dst[i] = float64(math.Float32frombits(word32(buf[p:], big)))
			p += stride
		}
	case float64Scalar:
		for i := range dst {
			dst[i] = math.Float64frombits(word64(buf[p:], big))
			p += stride
		}
	default:
		for i := range dst {
			dst[i] = k.integer(buf[p:], big)
			p += stride
		}
	}
}

// integer reads one integer of type k.
func (k scalar) integer(b []byte, big bool) float64 {
	switch k {
	case int8Scalar:
		return float64(int8(b[0]))
	case uint8Scalar:
		return float64(b[0])
	case int16Scalar:
		return float64(int16(word16(b, big)))
	case uint16Scalar:
		return float64(word16(b, big))
	case int32Scalar:
		return float64(int32(word32(b, big)))
	case uint32Scalar:
		return float64(word32(b, big))
	case int64Scalar:
		return float64(int64(word64(b, big)))
	default:
		return float64(word64(b, big))
	}
}

func word16(b []byte, big bool) uint16 {
	v := binary.LittleEndian.Uint16(b)
	if big {
		v = bits.ReverseBytes16(v)
	}
	return v
}

func word32(b []byte, big bool) uint32 {
	v := binary.LittleEndian.Uint32(b)
	if big {
		v = bits.ReverseBytes32(v)
	}
	return v
}

func word64(b []byte, big bool) uint64 {
	v := binary.LittleEndian.Uint64(b)
	if big {
		v = bits.ReverseBytes64(v)
	}
	return v
}
