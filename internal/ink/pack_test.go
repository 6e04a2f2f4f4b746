package ink

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"encoding/json"
	"errors"
	"hash/crc32"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"
)

// sameBits compares columns bit for bit, nil as against empty included.
func sameBits(a, b []float64) bool {
	if (a == nil) != (b == nil) || len(a) != len(b) {
		return false
	}
	for i := range a {
		if math.Float64bits(a[i]) != math.Float64bits(b[i]) {
			return false
		}
	}
	return true
}

func sameStroke(a, b Stroke) bool {
	return a.Role == b.Role && a.By == b.By && sameBits(a.X, b.X) && sameBits(a.Y, b.Y) && sameBits(a.T, b.T) && sameBits(a.P, b.P)
}

func mustReturn(t rapid.TB, in []Stroke) []byte {
	t.Helper()
	b := Pack(in)
	out, err := Unpack(b)
	if err != nil {
		t.Fatalf("Unpack: %v", err)
	}
	if len(out) != len(in) {
		t.Fatalf("%d strokes came back of %d", len(out), len(in))
	}
	for i := range in {
		if !sameStroke(in[i], out[i]) {
			t.Fatalf("stroke %d:\n in %+v\nout %+v", i, in[i], out[i])
		}
	}
	return b
}

func TestPackTable(t *testing.T) {
	negZero := math.Copysign(0, -1)
	for name, c := range map[string][]float64{
		"nil":             nil,
		"empty":           {},
		"zero":            {0, 0},
		"minus zero":      {negZero, 0, negZero},
		"hundredths":      {12.34, 12.35, 12.37, -0.01},
		"thirds":          {1.0 / 3, 2.0 / 3},
		"specials":        {math.NaN(), math.Inf(1), math.Inf(-1)},
		"payload NaN":     {math.Float64frombits(0x7ff8_0000_dead_beef)},
		"extremes":        {math.MaxFloat64, math.SmallestNonzeroFloat64, -math.MaxFloat64},
		"largest whole":   {maxWhole, -maxWhole, maxWhole, -maxWhole},
		"past the whole":  {maxWhole + 2, 0.5},
		"digits overflow": {maxWhole, 0.5},
		"fifteen digits":  {0.123456789012345, 0.000000000000001},
	} {
		t.Run(name, func(t *testing.T) {
			mustReturn(t, []Stroke{{Role: RoleEdge, X: c, Y: []float64{1, 2}, T: c, P: nil}})
		})
	}
	mustReturn(t, nil)
	mustReturn(t, []Stroke{{}, {Role: "sketch", By: "chalk"}, {Role: RoleConstruction, By: Ruler, X: []float64{1}}})
}

func TestPackAnyStrokes(t *testing.T) {
	value := rapid.OneOf(
		rapid.Custom(func(t *rapid.T) float64 { return math.Float64frombits(rapid.Uint64().Draw(t, "bits")) }),
		rapid.Custom(func(t *rapid.T) float64 {
			e := rapid.IntRange(0, maxExponent+2).Draw(t, "e")
			return float64(rapid.Int64Range(-1<<54, 1<<54).Draw(t, "n")) / math.Pow10(e)
		}),
	)
	column := rapid.OneOf(rapid.Just([]float64(nil)), rapid.SliceOfN(value, 0, 40),
		rapid.Custom(func(t *rapid.T) []float64 { // one grid for the whole column, as a pen has
			p := math.Pow10(rapid.IntRange(0, 6).Draw(t, "e"))
			v := make([]float64, rapid.IntRange(0, 60).Draw(t, "n"))
			for i := range v {
				v[i] = float64(rapid.IntRange(-300_000, 300_000).Draw(t, "v")) / p
			}
			return v
		}))
	stroke := rapid.Custom(func(t *rapid.T) Stroke {
		return Stroke{
			Role: Role(rapid.SampledFrom(append(packedRoles, "other")).Draw(t, "role")),
			By:   Pointer(rapid.SampledFrom(append(packedPointers, "other")).Draw(t, "by")),
			X:    column.Draw(t, "x"), Y: column.Draw(t, "y"), T: column.Draw(t, "t"), P: column.Draw(t, "p"),
		}
	})
	rapid.Check(t, func(t *rapid.T) { mustReturn(t, rapid.SliceOfN(stroke, 0, 6).Draw(t, "strokes")) })
}

// TestPackGridIsDecimal: every value that a client rounds to hundredths is
// found to be one, whatever float64 it became.
func TestPackGridIsDecimal(t *testing.T) {
	for n := -90_000; n <= 90_000; n++ {
		if got, ok := whole(float64(n)/100, 2); !ok || got != int64(n) {
			t.Fatalf("%d hundredths: got %d, %v", n, got, ok)
		}
	}
}

// readHands returns the simulated drawings.
func readHands(t testing.TB) [][]Stroke {
	t.Helper()
	f, err := os.Open("../../testdata/checks/hands.jsonl.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	var all [][]Stroke
	for d := json.NewDecoder(z); d.More(); {
		var line struct{ Attempt struct{ Strokes []Stroke } }
		if err := d.Decode(&line); err != nil {
			t.Fatal(err)
		}
		all = append(all, line.Attempt.Strokes)
	}
	if len(all) == 0 {
		t.Fatal("no drawing was read")
	}
	return all
}

// TestPackHands packs drawings as a pen makes them and holds the form to
// what it is for.
func TestPackHands(t *testing.T) {
	samples, packed, columns := 0, 0, 0
	for _, strokes := range readHands(t) {
		packed += len(mustReturn(t, strokes))
		for _, s := range strokes {
			samples += len(s.X)
			columns += len(s.X) + len(s.Y) + len(s.T) + len(s.P)
		}
	}
	perSample := float64(packed) / float64(samples)
	t.Logf("%d samples, %d values, %d bytes: %.2f per sample, %.2f per value, %.1f %% of raw float64",
		samples, columns, packed, perSample, float64(packed)/float64(columns), 100*float64(packed)/float64(8*columns))
	if perSample > 6 {
		t.Errorf("%.2f bytes per sample: more than a byte and a half per value", perSample)
	}
}

// TestUnpackDamage changes, cuts and lengthens packed strokes.
func TestUnpackDamage(t *testing.T) {
	good := Pack([]Stroke{{Role: RoleEdge, X: []float64{1.25, 2, 3}, Y: []float64{4, 5.5, 1.0 / 3}, T: []float64{0, 8, 16}}})
	for i := range good {
		for bit := range 8 {
			bad := bytes.Clone(good)
			bad[i] ^= 1 << bit
			if _, err := Unpack(bad); !errors.Is(err, ErrPacked) {
				t.Errorf("byte %d bit %d: %v", i, bit, err)
			}
		}
		if _, err := Unpack(good[:i]); !errors.Is(err, ErrPacked) {
			t.Errorf("cut at %d: %v", i, err)
		}
	}
	if _, err := Unpack(append(bytes.Clone(good), 0)); !errors.Is(err, ErrPacked) {
		t.Errorf("a byte too many: %v", err)
	}
	// A huge count with a right checksum must neither panic nor allocate.
	for _, body := range [][]byte{
		binary.AppendUvarint([]byte{packVersion}, math.MaxUint64),
		binary.AppendUvarint([]byte{packVersion, 1, 0, 0, formRaw}, 1<<61),
		binary.AppendUvarint([]byte{packVersion, 1, 0, 0, formDecimal}, 1<<62),
		binary.AppendUvarint([]byte{packVersion, 1, unknownWord}, 1<<62),
		{packVersion + 1, 0},
	} {
		if s, err := Unpack(sealed(body)); !errors.Is(err, ErrPacked) {
			t.Errorf("% x: %v, %v", body, s, err)
		}
	}
}

// sealed appends the right checksum.
func sealed(body []byte) []byte {
	return binary.LittleEndian.AppendUint32(bytes.Clone(body), crc32.Checksum(body, castagnoli))
}

// FuzzUnpack: any bytes, with a right checksum too, give an error or strokes
// that pack and unpack to themselves; never a panic, never more memory than
// the bytes can stand for.
func FuzzUnpack(f *testing.F) {
	f.Add([]byte{})
	p := Pack([]Stroke{{Role: "x", By: Pen, X: []float64{1, 2.5}, Y: []float64{0.1, 1.0 / 3}, P: []float64{}}})
	f.Add(p)
	f.Add(p[:len(p)-4])
	f.Fuzz(func(t *testing.T, b []byte) {
		for _, b := range [][]byte{b, sealed(b)} {
			strokes, err := Unpack(b)
			if err != nil {
				if !errors.Is(err, ErrPacked) {
					t.Fatalf("a nameless error: %v", err)
				}
				continue
			}
			values := 0
			for _, s := range strokes {
				values += len(s.X) + len(s.Y) + len(s.T) + len(s.P)
			}
			if values > len(b) || len(strokes) > len(b) {
				t.Fatalf("%d values of %d bytes", values, len(b))
			}
			mustReturn(t, strokes)
		}
	})
}

func BenchmarkPack(b *testing.B) {
	strokes := readHands(b)[0]
	b.SetBytes(int64(len(Pack(strokes))))
	for b.Loop() {
		Pack(strokes)
	}
}

func BenchmarkUnpack(b *testing.B) {
	packed := Pack(readHands(b)[0])
	b.SetBytes(int64(len(packed)))
	for b.Loop() {
		if _, err := Unpack(packed); err != nil {
			b.Fatal(err)
		}
	}
}
