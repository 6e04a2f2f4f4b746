package grade

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// nearOne is the |t| below which no test can be significant here: its p value
// is above 0.045 for any degrees of freedom.
const nearOne = 2

// twoSided returns the p value of |t| under Student's distribution with nu
// degrees of freedom; 1 stands for all that are far from significant.
func twoSided(t, nu float64) float64 {
	if !(nu > 0) || !(math.Abs(t) >= nearOne) {
		return 1
	}
	if math.IsInf(t, 0) {
		return 0
	}
	return mathext.RegIncBeta(nu/2, 0.5, nu/(nu+t*t))
}

// upperF returns the chance of a ratio of mean squares above f under the F
// distribution with a and b degrees of freedom; nothing to compare gives 1.
func upperF(f, a, b float64) float64 {
	if !(a > 0) || !(b > 0) || !(f > 0) {
		return 1
	}
	if math.IsInf(f, 0) {
		return 0
	}
	return mathext.RegIncBeta(b/2, a/2, b/(b+a*f))
}

// holm returns which of the p values are significant together at level alpha
// by the step-down procedure (Holm 1979, recalled): the smallest is held
// against alpha/m, the next against alpha/(m-1), until one fails.
func holm(p []float64, alpha float64) (ok []bool) {
	ok = make([]bool, len(p))
	for left := len(p); left > 0; left-- {
		k := -1
		for i := range p {
			if !ok[i] && (k < 0 || p[i] < p[k]) {
				k = i
			}
		}
		if !(p[k] <= alpha/float64(left)) {
			break
		}
		ok[k] = true
	}
	return ok
}
