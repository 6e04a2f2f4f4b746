package progress

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"boxwright/internal/drill"
)

// hand is a simulated learner who neither learns nor forgets. A line's error
// is what its sheet's pencil shares plus its own part; sheets and days are
// better or worse as a whole.
type hand struct {
	name             string
	sd               float64 // degrees, of a line on a middling sheet and day
	shared           float64 // part of the variance that a sheet's lines share
	sheetSD, daySD   float64 // of ln error
	days, sheets     int
	leastLines, most int
}

// drawings simulates the hand; the drawings of day i are made on one day.
// daily is the true rms of each day, long that of the hand in the long run.
func (h hand) drawings(r *rand.Rand, first time.Time) (list []Drawing, daily []float64, long float64) {
	overSheets := math.Exp(h.sheetSD * h.sheetSD) // E exp(2 s z) = exp(2 s²) for a Gaussian z; its root
	for day := range h.days {
		level := h.sd * math.Exp(h.daySD*r.NormFloat64())
		daily = append(daily, level*overSheets)
		for i := range h.sheets {
			sd := level * math.Exp(h.sheetSD*r.NormFloat64())
			lines := h.leastLines + r.IntN(h.most-h.leastLines+1)
			common := sd * math.Sqrt(h.shared) * r.NormFloat64()
			sumSq, signed := 0.0, 0.0
			for range lines {
				e := common + sd*math.Sqrt(1-h.shared)*r.NormFloat64()
				sumSq += e * e
				signed += e
			}
			rms := math.Sqrt(sumSq / float64(lines))
			list = append(list, Drawing{
				At: first.AddDate(0, 0, day).Add(time.Duration(i) * time.Minute), Kind: drill.Finish, View: drill.Two, Pointer: "pen",
				Lines: lines, RMS: &rms, Sets: []Set{{Name: "width", Lines: lines, RMS: rms, SumSigned: signed}},
			})
		}
	}
	return list, daily, h.sd * overSheets * math.Exp(h.daySD*h.daySD)
}

// TestIntervalsHold: the 90 % intervals of days, of the recent span and of
// the bias hold the truth about that often, whether lines are independent or
// not. The lower bound is what the approximation costs with strongly shared
// pencils; the upper one only excludes intervals that say nothing. Intervals
// that took all lines for independent hold the truth of the second hand's
// days 65 % of the time and that of its span 53 %.
func TestIntervalsHold(t *testing.T) {
	first := time.Date(2031, 3, 3, 18, 0, 0, 0, time.UTC)
	for _, h := range []hand{
		{name: "independent lines", sd: 2, days: 6, sheets: 4, leastLines: 6, most: 9},
		{name: "shared pencils", sd: 2, shared: 0.4, sheetSD: 0.25, daySD: 0.12, days: 6, sheets: 4, leastLines: 6, most: 9},
		{name: "one set of three lines", sd: 3, shared: 0.5, sheetSD: 0.25, daySD: 0.12, days: 10, sheets: 3, leastLines: 3, most: 3},
		{name: "one day only", sd: 1, shared: 0.3, sheetSD: 0.25, days: 1, sheets: 5, leastLines: 3, most: 9},
		{name: "many short days", sd: 2, shared: 0.3, sheetSD: 0.25, daySD: 0.12, days: 25, sheets: 1, leastLines: 6, most: 9},
	} {
		t.Run(h.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(7, 1))
			const learners = 2000
			var day, recent, bias share
			for range learners {
				list, daily, long := h.drawings(r, first)
				s := Of(list, time.UTC, first.AddDate(0, 0, h.days)).Skills[0].All
				for i, p := range s.Points {
					if p.Low == nil {
						day.untold++
						continue
					}
					day.count(*p.Low <= daily[i] && daily[i] <= *p.High)
				}
				recent.count(s.Recent.Low <= long && long <= s.Recent.High)
				bias.count(s.Signed.Low <= 0 && 0 <= s.Signed.High)
			}
			t.Logf("days %.3f (untold %d of %d), recent %.3f, bias %.3f", day.held(), day.untold, day.untold+day.n, recent.held(), bias.held())
			for name, c := range map[string]share{"day": day, "recent": recent, "bias": bias} {
				if c.held() < 0.85 || c.held() > 0.995 {
					t.Errorf("%s: the interval holds %.3f of the truths", name, c.held())
				}
			}
		})
	}
}

type share struct{ n, in, untold int }

func (s *share) count(in bool) {
	s.n++
	if in {
		s.in++
	}
}

func (s share) held() float64 { return float64(s.in) / float64(s.n) }
