package ink

import "fmt"

// Check tests an attempt's strokes against the limits of this package: how
// many, their roles, columns of equal length, finite numbers, times that do
// not fall, pressures from 0 to 1. It returns nil or an *InputError whose
// pointer starts at /strokes.
func Check(strokes []Stroke) error {
	if len(strokes) > MaxStrokes {
		return &InputError{"/strokes", fmt.Sprintf("%d strokes; an attempt has at most %d", len(strokes), MaxStrokes)}
	}
	for i := range strokes {
		if e := strokes[i].check(); e != nil {
			e.Pointer = fmt.Sprintf("/strokes/%d%s", i, e.Pointer)
			return e
		}
	}
	return nil
}

func (s *Stroke) check() *InputError {
	switch s.Role {
	case "", RoleEdge, RoleConstruction:
	default:
		return &InputError{"/role", fmt.Sprintf("role %q is unknown; it is %q or %q", s.Role, RoleEdge, RoleConstruction)}
	}
	switch s.By {
	case "", Pen, Touch, Mouse, Keyboard, TwoTap, Ruler:
	default:
		return &InputError{"/by", fmt.Sprintf("%q is no way of drawing a stroke", s.By)}
	}
	n := len(s.X)
	if n < MinSamples || n > MaxSamples {
		return &InputError{"/x", fmt.Sprintf("%d samples; a stroke has %d to %d", n, MinSamples, MaxSamples)}
	}
	if len(s.Y) != n {
		return unequal("/y", len(s.Y), n)
	}
	if s.T != nil && len(s.T) != n {
		return unequal("/t", len(s.T), n)
	}
	if s.P != nil && len(s.P) != n {
		return unequal("/p", len(s.P), n)
	}
	return s.checkNumbers()
}

func unequal(at string, got, want int) *InputError {
	return &InputError{at, fmt.Sprintf("%d entries where x has %d; the columns of a stroke are equally long", got, want)}
}

func (s *Stroke) checkNumbers() *InputError {
	for _, c := range [...]struct {
		name string
		v    []float64
	}{{"x", s.X}, {"y", s.Y}, {"t", s.T}, {"p", s.P}} {
		for i, v := range c.v {
			if v-v != 0 { // NaN and both infinities
				return &InputError{fmt.Sprintf("/%s/%d", c.name, i), "not a finite number"}
			}
		}
	}
	for i := 1; i < len(s.T); i++ {
		if s.T[i] < s.T[i-1] {
			return &InputError{fmt.Sprintf("/t/%d", i), "the time falls; times never run backwards within a stroke"}
		}
	}
	for i, p := range s.P {
		if p < 0 || p > 1 {
			return &InputError{fmt.Sprintf("/p/%d", i), "pressure outside 0 to 1"}
		}
	}
	return nil
}
