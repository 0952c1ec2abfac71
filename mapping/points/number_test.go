package points

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

// The nearest float64, as strconv finds it, bit by bit.
func TestParseNumberIsExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 200_000 {
		v := math.Ldexp(rng.NormFloat64(), rng.IntN(80)-40)
		for _, text := range []string{
			strconv.FormatFloat(v, 'g', -1, 64),
			strconv.FormatFloat(v, 'g', -1, 32),
			fmt.Sprintf("%.6f", v), fmt.Sprintf("%.18e", v), fmt.Sprintf("%.15g", v), fmt.Sprintf("%+.3f", v),
		} {
			want, _ := strconv.ParseFloat(text, 64)
			if got, ok := parseNumber([]byte(text)); !ok || math.Float64bits(got) != math.Float64bits(want) {
				t.Fatalf("%q gave %v, %v; want %v", text, got, ok, want)
			}
		}
	}
}

func TestParseNumberTakesWhatTheCLibraryPrints(t *testing.T) {
	inf := math.Inf(1)
	for text, want := range map[string]float64{
		"nan": math.NaN(), "-nan": math.NaN(), "NaN": math.NaN(), "-nan(ind)": math.NaN(), "nan(0x7)": math.NaN(),
		"inf": inf, "-inf": -inf, "+Infinity": inf, "1e999": inf, "-0": math.Copysign(0, -1),
		"1.": 1, ".5": 0.5, "+1e3": 1000, "1E-2": 0.01, "000000000000000000001": 1, "-.25": -0.25,
	} {
		got, ok := parseNumber([]byte(text))
		if !ok || math.Float64bits(got) != math.Float64bits(want) && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Errorf("%q gave %v, %v; want %v", text, got, ok, want)
		}
	}
}

func TestParseNumberRefuses(t *testing.T) {
	for _, text := range []string{"", "-", "+", ".", "--1", "+-1", "1,5", "0x10", "1_000", "1e", "e5", "1.2.3", "nano", "in", "x", "1 2", "12mm", "-inf1", "1.#IND"} {
		if v, ok := parseNumber([]byte(text)); ok {
			t.Errorf("%q gave %v", text, v)
		}
	}
}

func BenchmarkParseNumber(b *testing.B) {
	text := []byte("-1234.5678")
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		parseNumber(text)
	}
}
