package progress

import (
	"math"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

// How a root mean square error over n lines is bounded.
//
// Were all lines independent and Gaussian, n ms / sigma² would be chi-square
// with n degrees of freedom. They are not: the lines of a sheet share what
// the whole pencil is wrong by, and sheets and days differ. So a mean square
// is given n / phi degrees of freedom, where phi says how much more the mean
// squares of sheets scatter within a day than n independent lines would: the
// Pearson estimate of a Gamma model's dispersion (McCullagh & Nelder,
// Generalized Linear Models, 1989, ch. 8; recalled), drawn towards a prior
// while there are few sheets. For a span of several days phi is also
// estimated between days and the larger one taken.
//
// Against simulated hands whose truth is known the 90 % intervals hold it in
// 86 to 97 % of the days, and in 86 to 99 % of the spans: too often for
// independent lines, a little too rarely for strongly shared ones.
const (
	// priorDispersion is that of sheets of 7 lines which share 40 % of their
	// variance and whose ln rms scatters by a further 0.25 from sheet to
	// sheet: (exp(4 0.25²) (1 + (2/7) (1 + 6 0.4²)) - 1) / (2/7) = 3.5, rounded
	// up. It weighs as much as priorSheets sheets.
	priorDispersion = 4.0
	priorSheets     = 6.0
	// leastDispersion: fewer surprises than independent lines have are luck.
	leastDispersion = 1.0

	tail = 0.05 // on each side

	// Below these nothing is told: three lines is the least that an error of
	// a day can be read from, and one sheet says nothing of the next.
	leastDayLines    = 3
	leastSpanLines   = 6
	leastSpanSheets  = 2
	leastMeanSheets  = 3
	leastFree        = 1.5  // degrees of freedom: with fewer the upper bound is beyond any use
	leastRMS         = 1e-6 // degrees: below it an error is a ruler's, without scatter
	leastDaysBetween = 2
)

// sheet is what one drawing adds to a series.
type sheet struct {
	day    time.Time
	recent bool
	lines  int
	sumSq  float64 // of the lines' errors, square degrees
	signed float64 // sum of the signed errors
	early  float64 // sum over earlyN boxes
	earlyN int
}

// sum is a mean square in the making.
type sum struct {
	sheets, lines int
	sumSq         float64
}

func (s *sum) add(m sheet) { s.sheets++; s.lines += m.lines; s.sumSq += m.sumSq }

func (s sum) ms() float64 { return s.sumSq / float64(s.lines) }

// series makes the figures of sheets in order of time.
func series(set string, sheets []sheet) Series {
	s := Series{Set: set, Drawings: len(sheets)}
	var recent []sheet
	for _, m := range sheets {
		s.Lines += m.lines
		if m.recent {
			recent = append(recent, m)
		}
	}
	phi := dispersion(sheets, func(m sheet) time.Time { return m.day })
	s.Points = points(sheets, phi)
	s.Overall, s.Recent = estimate(sheets, phi), estimate(recent, phi)
	s.Signed, s.Early = meanSigned(recent), meanEarly(recent)
	return s
}

func points(sheets []sheet, phi float64) []Point {
	var list []Point
	for rest := sheets; len(rest) > 0; {
		date, total, n := rest[0].day, sum{}, 0
		for n < len(rest) && rest[n].day.Equal(date) {
			total.add(rest[n])
			n++
		}
		rest = rest[n:]
		p := Point{Date: date, Drawings: total.sheets, Lines: total.lines, Error: math.Sqrt(total.ms())}
		if low, high, ok := bounds(total, phi); ok && total.lines >= leastDayLines {
			p.Low, p.High = &low, &high
		}
		list = append(list, p)
	}
	return list
}

// estimate is the error over a span of days; nil when there is too little.
func estimate(sheets []sheet, phi float64) *Estimate {
	var total sum
	for _, m := range sheets {
		total.add(m)
	}
	if total.sheets < leastSpanSheets || total.lines < leastSpanLines {
		return nil
	}
	if byDay := merged(sheets); len(byDay) >= leastDaysBetween {
		phi = max(phi, dispersion(byDay, func(sheet) time.Time { return time.Time{} }))
	}
	e := &Estimate{Error: math.Sqrt(total.ms()), Drawings: total.sheets, Lines: total.lines}
	var ok bool
	if e.Low, e.High, ok = bounds(total, phi); !ok {
		return nil
	}
	return e
}

// merged makes one sheet of each day's.
func merged(sheets []sheet) []sheet {
	var list []sheet
	for _, m := range sheets {
		if n := len(list); n > 0 && list[n-1].day.Equal(m.day) {
			list[n-1].lines += m.lines
			list[n-1].sumSq += m.sumSq
		} else {
			list = append(list, m)
		}
	}
	return list
}

// dispersion returns phi for sheets that should agree within groups.
func dispersion(sheets []sheet, group func(sheet) time.Time) float64 {
	totals := map[time.Time]sum{}
	for _, m := range sheets {
		t := totals[group(m)]
		t.add(m)
		totals[group(m)] = t
	}
	pearson := 0.0
	for _, m := range sheets {
		mean := totals[group(m)].ms()
		if mean < sq(leastRMS) {
			continue
		}
		pearson += float64(m.lines) / 2 * sq(m.sumSq/float64(m.lines)/mean-1)
	}
	free := float64(len(sheets) - len(totals))
	return max(leastDispersion, (priorSheets*priorDispersion+pearson)/(priorSheets+free))
}

// bounds returns the 90 % interval of the root mean square; ok is false when
// there is too little to tell.
func bounds(s sum, phi float64) (low, high float64, ok bool) {
	free := float64(s.lines) / phi
	if free < leastFree {
		return 0, 0, false
	}
	chi := distuv.ChiSquared{K: free}
	return math.Sqrt(s.ms() * free / chi.Quantile(1-tail)), math.Sqrt(s.ms() * free / chi.Quantile(tail)), true
}

// meanSigned is the mean signed error over lines. Its interval comes from the
// scatter between sheets, for the lines of one sheet share their bias; nil
// with too few sheets.
func meanSigned(sheets []sheet) *Mean {
	n := len(sheets)
	if n < leastMeanSheets {
		return nil
	}
	lines, total := 0.0, 0.0
	for _, m := range sheets {
		lines += float64(m.lines)
		total += m.signed
	}
	mean, spread := total/lines, 0.0
	for _, m := range sheets {
		spread += sq(m.signed - mean*float64(m.lines))
	}
	return around(mean, math.Sqrt(spread*float64(n)/float64(n-1))/lines, n)
}

// meanEarly is the mean over sheets of how early the set met.
func meanEarly(sheets []sheet) *Mean {
	var v []float64
	mean := 0.0
	for _, m := range sheets {
		if m.earlyN > 0 {
			v = append(v, m.early/float64(m.earlyN))
			mean += v[len(v)-1]
		}
	}
	n := len(v)
	if n < leastMeanSheets {
		return nil
	}
	mean /= float64(n)
	spread := 0.0
	for _, x := range v {
		spread += sq(x - mean)
	}
	return around(mean, math.Sqrt(spread/float64(n-1)/float64(n)), n)
}

func around(mean, se float64, n int) *Mean {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile(1 - tail)
	return &Mean{Value: mean, Low: mean - t*se, High: mean + t*se, Drawings: n}
}
