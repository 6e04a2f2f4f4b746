package api

import "boxwright/internal/grade"

var (
	cameraShape = shape{nil, []string{"principal_x_mm", "principal_y_mm", "distance_mm", "cone_half_angle_deg"}}
	figureShape = shape{[]string{"value", "se"}, nil}
)

// camera reads the arrangement that a free drawing implies.
func (r *reader) camera() *grade.Camera {
	c := new(grade.Camera)
	r.object(cameraShape, func(name string) {
		switch name {
		case "principal_x_mm":
			c.X = r.figure()
		case "principal_y_mm":
			c.Y = r.figure()
		case "distance_mm":
			c.Distance = r.figure()
		case "cone_half_angle_deg":
			c.Cone = r.figure()
		}
	})
	return c
}

func (r *reader) figure() *grade.Figure {
	f := new(grade.Figure)
	r.object(figureShape, func(name string) {
		if name == "se" {
			f.SE = r.number()
		} else {
			f.Value = r.number()
		}
	})
	return f
}

// camera writes what is determined; the rest is left out.
func (w *writer) camera(c *grade.Camera) {
	w.open('{')
	w.figure("principal_x_mm", c.X)
	w.figure("principal_y_mm", c.Y)
	w.figure("distance_mm", c.Distance)
	w.figure("cone_half_angle_deg", c.Cone)
	w.close('}')
}

func (w *writer) figure(key string, f *grade.Figure) {
	if f == nil {
		return
	}
	w.key(key)
	w.open('{')
	w.key("value")
	w.number(f.Value)
	w.key("se")
	w.number(f.SE)
	w.close('}')
}
