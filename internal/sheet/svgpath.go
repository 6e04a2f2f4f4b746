package sheet

import (
	"strconv"

	"boxwright/internal/geom"
)

// path is path data, in hundredths of a millimetre.
type path struct{ b []byte }

func (p *path) move(v geom.Vec) { p.to('M', v) }
func (p *path) line(v geom.Vec) { p.to('L', v) }

func (p *path) to(verb byte, v geom.Vec) {
	p.b = append(appendNum(append(p.b, verb), v.X), ' ')
	p.b = appendNum(p.b, v.Y)
}

// arc draws half a circle of radius r, clockwise, to v: the round end of a
// stroke.
func (p *path) arc(r float64, v geom.Vec) {
	r = max(r, .01)
	p.b = append(appendNum(append(p.b, 'A'), r), ' ')
	p.b = append(appendNum(p.b, r), " 0 0 1 "...)
	p.b = append(appendNum(p.b, v.X), ' ')
	p.b = appendNum(p.b, v.Y)
}

func (p *path) shut()          { p.b = append(p.b, 'z') }
func (p *path) String() string { return string(p.b) }

func polygon(v []geom.Vec) string {
	var p path
	for i, q := range v {
		if i == 0 {
			p.move(q)
		} else {
			p.line(q)
		}
	}
	p.shut()
	return p.String()
}

// num writes v with at most two decimals and no trailing zeros.
func num(v float64) string { return string(appendNum(nil, v)) }

func appendNum(b []byte, v float64) []byte {
	n := len(b)
	b = strconv.AppendFloat(b, v, 'f', 2, 64)
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	if b[len(b)-1] == '.' {
		b = b[:len(b)-1]
	}
	if string(b[n:]) == "-0" {
		b = append(b[:n], '0')
	}
	return b
}
