package api

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNumber(t *testing.T) {
	check := func(s string) error {
		r := reader{b: []byte(s)}
		got := r.number()
		want, err := strconv.ParseFloat(s, 64)
		if err != nil && r.err != nil && r.i == len(s) {
			return nil
		}
		if r.err != nil || r.i != len(s) || math.Float64bits(got) != math.Float64bits(want) {
			return fmt.Errorf("%q: got %v, %v, want %v", s, got, r.err, want)
		}
		return nil
	}
	for _, s := range []string{"0", "-0", "-0.0", "1", "123456789012345", "1234567890123456", "9007199254740993", "0.000000000000001", "0.1", "1e22", "1E+23",
		"1e-5", "4.9e-324", "2.2250738585072011e-308", "1.7976931348623157e308", "1e309", "-1e309", "0.30000000000000004", "12345.678901234567", "0e999"} {
		if err := check(s); err != nil {
			t.Error(err)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		if err := check(rapid.StringMatching(`-?(0|[1-9][0-9]{0,20})(\.[0-9]{1,20})?([eE][+-]?[0-9]{1,3})?`).Draw(t, "s")); err != nil {
			t.Fatal(err)
		}
	})
}

// TestAppendNumber: the bytes are those of encoding/json.
func TestAppendNumber(t *testing.T) {
	any := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-1000, 1000), rapid.Custom(func(t *rapid.T) float64 {
		return float64(rapid.Int64Range(-1e15, 1e15).Draw(t, "n")) / math.Pow10(rapid.IntRange(0, 14).Draw(t, "decimals"))
	}), rapid.SampledFrom([]float64{1e21, 1e20, 999999999999.999, 1e-6, 9.99e-7, 1e-3, 0.0005, 99999999999.9995, 1e11, 5e-324}))
	rapid.Check(t, func(t *rapid.T) {
		v := any.Draw(t, "v")
		if v == 0 {
			v = 0 // without a sign
		}
		got := appendNumber(nil, v)
		back, err := strconv.ParseFloat(string(got), 64)
		if err != nil || back != v {
			t.Fatalf("%v written as %s", v, got)
		}
		want, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		if v == 0 {
			want = []byte("0")
		}
		// encoding/json cleans e-09 to e-9; both are the same number.
		if strings.Replace(string(got), "e-0", "e-", 1) != string(want) {
			t.Fatalf("%v: got %s, want %s", v, got, want)
		}
	})
}
