package grade

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"boxwright/internal/geom"
)

// vectors are worked numbers for the single formulas.
type vectors struct {
	ErrToVP []struct {
		M, D [2]float64
		L    float64
		V    [3]float64
		Err  float64  `json:"err_deg"`
		Miss *float64 `json:"miss_mm"`
	} `json:"err_to_vp"`
	FitVP []struct {
		M, D   [][2]float64
		Sd     []float64  `json:"sth_deg"`
		TrueVP [3]float64 `json:"true_vp"`
		ML     struct {
			Beta    float64 `json:"beta_deg"`
			Kappa   float64 `json:"kappa_per_mm"`
			SdBeta  float64 `json:"sd_beta_deg"`
			SdKappa float64 `json:"sd_kappa_per_mm"`
			Chi2    float64
		}
		Decomposition struct {
			Db   float64 `json:"db_deg"`
			Dk   float64 `json:"dk_per_mm"`
			Bias float64 `json:"chi_bias"`
			Rest float64 `json:"chi_scatter"`
		}
	} `json:"fit_vp"`
	DepthRatio []struct {
		A, B  [2]float64
		BTrue [2]float64 `json:"B_true"`
		V     [3]float64
		Ratio float64
	} `json:"depth_ratio"`
	ScoreEdge []struct {
		Err   float64 `json:"err_deg"`
		L     float64
		Score float64
	} `json:"score_edge"`
}

func readVectors(t *testing.T) (v vectors) {
	t.Helper()
	b, err := os.ReadFile("../../testdata/checks/grading-vectors.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &v); err != nil {
		t.Fatal(err)
	}
	if len(v.ErrToVP) == 0 || len(v.FitVP) == 0 || len(v.DepthRatio) == 0 || len(v.ScoreEdge) == 0 {
		t.Fatal("a part of the vectors is missing")
	}
	return v
}

func vec(a [2]float64) geom.Vec     { return geom.Vec{X: a[0], Y: a[1]} }
func point(a [3]float64) geom.Point { return geom.Point{X: a[0], Y: a[1], W: a[2]} }

// near fails unless got is want to within a relative 1e-9 or the absolute
// tolerance.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= math.Max(tol, 1e-9*math.Abs(want))) {
		t.Errorf("%s: %.15g, want %.15g", what, got, want)
	}
}

func TestVectorsBounded(t *testing.T) {
	for _, c := range readVectors(t).ErrToVP {
		near(t, "error", Bounded(vec(c.M), vec(c.D), c.L, point(c.V)).Degrees(), c.Err, 1e-9)
		mm, ok := Miss(vec(c.M), vec(c.D), point(c.V))
		if ok != (c.Miss != nil) {
			t.Errorf("miss of %v: %v", c.V, ok)
		} else if ok {
			near(t, "miss", mm, math.Abs(*c.Miss), 1e-9)
		}
	}
}

func TestVectorsScore(t *testing.T) {
	for _, c := range readVectors(t).ScoreEdge {
		near(t, "score", LineScore(Excess(geom.Degrees(c.Err), c.L)), c.Score, 1e-9)
	}
}

func TestVectorsDepthRatio(t *testing.T) {
	for _, c := range readVectors(t).DepthRatio {
		got, ok := DepthRatio(vec(c.A), vec(c.B), vec(c.BTrue), point(c.V))
		if !ok {
			t.Errorf("no ratio for %+v", c)
		}
		near(t, "ratio", got, c.Ratio, 1e-12)
	}
}

// The meeting point and its uncertainty: bearing and inverse distance agree
// to what the reference's own optimiser settled to.
func TestVectorsMeet(t *testing.T) {
	for i, c := range readVectors(t).FitVP {
		var rays []ray
		for k := range c.M {
			rays = append(rays, ray{at: vec(c.M[k]), dir: vec(c.D[k]), sd: float64(geom.Degrees(c.Sd[k]))})
		}
		v := point(c.TrueVP)
		p, ok := meet(rays, &v)
		if !ok {
			t.Errorf("%d: not determined", i)
			continue
		}
		beta, kappa := c.ML.Beta, c.ML.Kappa
		if math.Cos(p.beta-float64(geom.Degrees(beta))) < 0 {
			beta, kappa = beta+180, -kappa
		}
		near(t, "beta", math.Remainder(geom.Angle(p.beta).Degrees()-beta, 360), 0, 1e-4)
		near(t, "kappa", p.kappa, kappa, 1e-7)
		near(t, "sd beta", geom.Angle(math.Sqrt(p.cbb)).Degrees(), c.ML.SdBeta, 1e-4*c.ML.SdBeta)
		near(t, "sd kappa", math.Sqrt(p.ckk), c.ML.SdKappa, 1e-4*c.ML.SdKappa)
		near(t, "chi2", p.chi2, c.ML.Chi2, 1e-6)
	}
}

// The part that the whole fan shares, about the true point.
func TestVectorsDecompose(t *testing.T) {
	for _, c := range readVectors(t).FitVP {
		var m geom.Vec
		for _, q := range c.M {
			m = m.Add(vec(q).Scale(1 / float64(len(c.M))))
		}
		b := bundle{v: point(c.TrueVP)}
		b.truth = toward(m, b.v)
		for k := range c.M {
			s := strand{dev: Deviation(vec(c.M[k]), vec(c.D[k]), b.v), g: float64(geom.Degrees(c.Sd[k]))}
			s.jb, s.jk = strandSlopes(&b.truth, vec(c.M[k]), 0)
			b.lines = append(b.lines, s)
		}
		b.decompose()
		var bias, rest float64
		for _, s := range b.lines {
			e := float64(s.dev) - s.rest
			bias += e / s.g * e / s.g
			rest += s.rest / s.g * s.rest / s.g
		}
		dk := c.Decomposition.Dk
		if c.TrueVP[2] < 0 { // told about the opposite bearing
			dk = -dk
		}
		near(t, "turn", geom.Angle(b.db).Degrees(), c.Decomposition.Db, 1e-9)
		near(t, "early", b.dk, dk, 1e-12)
		near(t, "bias", bias, c.Decomposition.Bias, 1e-9)
		near(t, "scatter", rest, c.Decomposition.Rest, 1e-9)
	}
}
