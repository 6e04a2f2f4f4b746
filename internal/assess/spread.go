package assess

import "math"

// A Spread keeps the sizes of differences in bins of a thousandth of a degree,
// so that its median is known without keeping every one.
type Spread struct {
	N    int
	bins [spreadBins]int32
}

const (
	spreadBin  = 0.001 // degrees
	spreadBins = 4000  // the last one holds all that is larger
)

// robust turns the median of the sizes into the standard deviation of the
// normal distribution that has it: 1/Φ⁻¹(3/4).
const robust = 1.482602218505602

func (s *Spread) add(difference float64) {
	s.N++
	s.bins[min(spreadBins-1, int(math.Abs(difference)/spreadBin))]++
}

func (s *Spread) merge(o *Spread) {
	s.N += o.N
	for i, n := range o.bins {
		s.bins[i] += n
	}
}

// SD returns the robust standard deviation in degrees about zero, to half a
// bin; that of nothing is 0.
func (s *Spread) SD() float64 {
	below := 0
	for i, n := range s.bins {
		if below += int(n); 2*below >= s.N && s.N > 0 {
			return robust * (float64(i) + .5) * spreadBin
		}
	}
	return 0
}

// All returns the spread over all pointers.
func (r *Report) All() *Spread {
	all := new(Spread)
	for _, s := range r.Direction {
		all.merge(s)
	}
	return all
}
