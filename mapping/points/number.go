package points

import (
	"bytes"
	"math"
	"strconv"
	"strings"
)

// exactTens are the powers of ten that a float64 holds exactly.
var exactTens = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// parseNumber reads a decimal number, nan or inf in any of the spellings that
// the C library prints. A number of up to 15 digits and a small power of ten is
// one exact integer times or over an exact power, so that a single rounding
// gives the nearest float64 (Clinger, PLDI 1990, section 3); strconv does the
// others.
func parseNumber(b []byte) (v float64, ok bool) {
	i, negative := 0, false
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		negative = b[0] == '-'
		i++
	}
	var mantissa uint64
	digits, point := 0, -1
	for ; i < len(b); i++ {
		c := b[i]
		if isDigit(c) {
			mantissa = mantissa*10 + uint64(c-'0')
			digits++
		} else if c == '.' && point < 0 {
			point = digits
		} else {
			return parseOther(b)
		}
	}
	if digits == 0 || digits > 15 {
		return parseOther(b)
	}
	v = float64(mantissa)
	if point >= 0 {
		v /= exactTens[digits-point]
	}
	if negative {
		v = -v
	}
	return v, true
}

// parseOther reads exponents, long numbers, nan and inf.
func parseOther(b []byte) (float64, bool) {
	word := bytes.TrimLeft(b, "+-")
	if len(word) == 0 || len(b)-len(word) > 1 {
		return 0, false
	}
	if c := word[0] | 0x20; 'a' <= c && c <= 'z' {
		return parseWord(string(bytes.ToLower(word)), b[0] == '-')
	}
	for _, c := range word { // strconv would also read hexadecimals and 1_000
		if !isDigit(c) && c != '.' && c|0x20 != 'e' && c != '+' && c != '-' {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil && !math.IsInf(v, 0) { // too large a number stays infinite: no return
		return 0, false
	}
	return v, true
}

// parseWord reads nan, with the payload that some libraries print, and inf.
func parseWord(word string, negative bool) (float64, bool) {
	switch {
	case word == "inf" || word == "infinity":
		if negative {
			return math.Inf(-1), true
		}
		return math.Inf(1), true
	case word == "nan" || strings.HasPrefix(word, "nan("):
		return math.NaN(), true
	}
	return 0, false
}

func isDigit(c byte) bool { return c-'0' <= 9 }
