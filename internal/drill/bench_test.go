package drill

import (
	"slices"
	"testing"
	"time"
)

// BenchmarkNew reports, besides the mean, the median and the 99.9th percentile
// in microseconds over the levels and seeds it ran.
func BenchmarkNew(b *testing.B) {
	for _, k := range Kinds {
		for _, v := range Views(k) {
			b.Run(string(k)+"-"+string(v), func(b *testing.B) {
				b.ReportAllocs()
				var took []time.Duration
				for seed := uint64(0); b.Loop(); seed++ {
					start := time.Now()
					if _, err := New(k, v, MinLevel+int(seed%MaxLevel), seed); err != nil {
						b.Fatal(err)
					}
					took = append(took, time.Since(start))
				}
				slices.Sort(took)
				at := func(p float64) float64 {
					return float64(took[int(p*float64(len(took)-1))].Nanoseconds()) / 1000
				}
				b.ReportMetric(at(.5), "p50-us")
				b.ReportMetric(at(.999), "p99.9-us")
			})
		}
	}
}

// BenchmarkSound is the price of checking what New made.
func BenchmarkSound(b *testing.B) {
	x, err := New(Finish, Three, 5, 1)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := Sound(x); err != nil {
			b.Fatal(err)
		}
	}
}
