package grade

import (
	"fmt"
	"math"
	"strings"

	"boxwright/internal/geom"
	"boxwright/internal/perspective"
)

// Every finding is one sentence about lines and boxes: what is so, in which
// set, by how much, and what to look at next time.

// finding puts a proven fault into words.
func (w *work) finding(t *test) Finding {
	f := Finding{Code: t.code, Box: t.box, P: t.p}
	if t.set >= 0 {
		b := &w.bundles[t.set]
		f.Set, f.HasSet, f.Box = b.set, true, b.box
		f.Text = w.setText(t, b)
	} else {
		f.Text = w.drawingText(t)
	}
	return f
}

func degrees(a geom.Angle) string { return fmt.Sprintf("%.1f degrees", math.Abs(a.Degrees())) }

// away says a distance in mm so that it can be pictured.
func away(mm float64) string {
	if mm = math.Abs(mm); mm >= 2000 {
		return fmt.Sprintf("%.0f m", mm/1000)
	}
	return fmt.Sprintf("%.0f mm", mm)
}

// pointName says which of a box's points v is.
func (w *work) pointName(b *bundle) string {
	v, ok := b.v.Vec()
	if !ok {
		return "their direction"
	}
	if b.set == perspective.Height {
		if v.Y < b.truth.m.Y {
			return "the upper point"
		}
		return "the lower point"
	}
	for _, p := range w.x.Points {
		if p.Box != b.box || p.Set == b.set || p.Set == perspective.Height {
			continue
		}
		if o, finite := p.At.Vec(); finite {
			if v.X < o.X {
				return "the left point"
			}
			return "the right point"
		}
	}
	return "the vanishing point"
}

// missing lists expected lines that were not drawn.
func (w *work) missing() (f Finding, ok bool) {
	n := len(w.g.Missing)
	if n == 0 {
		return f, false
	}
	f = Finding{Code: CodeMissing}
	if len(w.x.Edges) == 0 || !w.plan.edges[0].hasSet {
		f.Text = fmt.Sprintf("%s of dots %s not joined: count the pairs before handing in next time.", count(n, "pair"), isAre(n))
		return f, true
	}
	by := map[perspective.Set]int{}
	for _, id := range w.g.Missing {
		for i := range w.plan.asked {
			if e := &w.plan.edges[i]; e.id == id {
				by[e.set]++
				break
			}
		}
	}
	var parts []string
	for _, k := range perspective.Sets {
		if by[k] > 0 {
			parts = append(parts, fmt.Sprintf("%d of the %s set", by[k], k))
		}
	}
	f.Text = fmt.Sprintf("%s %s missing (%s): count four edges in every set next time, the hidden ones too.",
		count(n, "edge"), isAre(n), strings.Join(parts, ", "))
	return f, true
}

func count(n int, what string) string {
	if n == 1 {
		return "One " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// setText words a fault of one set.
func (w *work) setText(t *test, b *bundle) string {
	a := geom.Angle(t.amount)
	switch t.code {
	case CodeLean:
		return fmt.Sprintf("The height lines lean %s to the %s: hold them against the sheet's side next time.", degrees(a), rightLeft(a))
	case CodeTurned:
		if !b.v.Finite() {
			return fmt.Sprintf("The %s lines should all be parallel to the given ones but are turned %s %s: hold them against the eye level or a given line next time.",
				b.set, degrees(a), clockwise(a))
		}
		return fmt.Sprintf("The %s lines as a whole are turned %s %s and pass beside %s: sight from each corner to it before drawing next time.",
			b.set, degrees(a), clockwise(a), w.pointName(b))
	case CodeSet:
		return fmt.Sprintf("The %s lines are %.1f times as far off as the others: check each of them against %s next time.", b.set, t.amount, w.pointName(b))
	case CodeLine:
		l := &w.g.Lines[t.line]
		return fmt.Sprintf("One %s line, the one %.0f mm long, is off by %s while the others of its set are not: check it against them next time.",
			l.Set, l.Length, degrees(l.Error))
	case CodeLong:
		return fmt.Sprintf("The %s edges are %.0f %% too long in true proportion: check where their far corners lie next time.", b.set, 100*(t.amount-1))
	case CodeBrief:
		return fmt.Sprintf("The %s edges are %.0f %% too short in true proportion: check where their far corners lie next time.", b.set, 100*(1-t.amount))
	}
	return w.meetText(t, b)
}

// meetText says where a set meets and where it should.
func (w *work) meetText(t *test, b *bundle) string {
	point, should := w.pointName(b), away(1/max(b.truth.kappa, 1e-9))
	drawn := away(1 / max(math.Abs(b.fitted.kappa), 1e-9))
	switch t.code {
	case CodeFan:
		return fmt.Sprintf("The %s lines should be parallel but close in %s, by %s on average: compare the two outermost ones with each other next time.",
			b.set, closing(b.truth.u, b.dk), degrees(geom.Angle(t.amount)))
	case CodeParallel:
		return fmt.Sprintf("The %s lines run almost parallel instead of meeting in %s, %s away: let the outermost ones close in on it next time.",
			b.set, point, should)
	case CodeWrongSide:
		return fmt.Sprintf("The %s lines open toward %s instead of closing on it, and meet %s away on the other side: look first on which side a set comes together next time.",
			b.set, point, drawn)
	case CodeLate:
		return fmt.Sprintf("The %s lines meet too late, about %s away instead of %s: let the outermost ones close in on %s sooner next time.",
			b.set, drawn, should, point)
	}
	return fmt.Sprintf("The %s lines meet too early, about %s away instead of %s: let the outermost ones run on farther toward %s next time.",
		b.set, drawn, should, point)
}

// closing says on which side lines along u come together that meet early by dk.
func closing(u geom.Vec, dk float64) string {
	if dk < 0 {
		u = u.Scale(-1)
	}
	switch {
	case math.Abs(u.Y) > math.Abs(u.X) && u.Y > 0:
		return "downward"
	case math.Abs(u.Y) > math.Abs(u.X):
		return "upward"
	case u.X > 0:
		return "to the right"
	}
	return "to the left"
}

// drawingText words a fault of the whole drawing.
func (w *work) drawingText(t *test) string {
	a := geom.Angle(t.amount)
	switch t.code {
	case CodeTilt:
		return fmt.Sprintf("The width and depth lines meet on a line tilted %s, falling to the %s: check both sets against the same eye level next time.",
			degrees(a), rightLeft(a))
	case CodeBow:
		return fmt.Sprintf("The lines bend to the %s of the pen's way by %.1f %% of their length: look at the far end, not at the pen's tip, next time.",
			rightLeft(a), math.Abs(t.amount))
	case CodeArch:
		side := "downward"
		if t.amount < 0 {
			side = "upward"
		}
		return fmt.Sprintf("The lines bend %s by %.1f %% of their length: look at the far end, not at the pen's tip, next time.", side, math.Abs(t.amount))
	case CodePast:
		return fmt.Sprintf("The lines run %.1f mm past their %s on average: lift the pen where the lines meet next time.", t.amount, w.corners())
	case CodeShort:
		return fmt.Sprintf("The lines stop %.1f mm short of their %s on average: carry each one on until it meets the next one.", -t.amount, w.corners())
	case CodePush:
		return fmt.Sprintf("Sloping lines are drawn %s away from level and upright: compare their slope with the sheet's sides next time.", degrees(a))
	}
	return fmt.Sprintf("Sloping lines are drawn %s toward level and upright: compare their slope with the sheet's sides next time.", degrees(a))
}

// corners says what lines end at.
func (w *work) corners() string {
	if len(w.bundles) == 0 {
		return "dots"
	}
	return "corners"
}

func clockwise(a geom.Angle) string {
	if a < 0 {
		return "anticlockwise"
	}
	return "clockwise"
}

func rightLeft(a geom.Angle) string {
	if a < 0 {
		return "left"
	}
	return "right"
}
