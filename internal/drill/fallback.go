package drill

// fallback returns a sound box when the dice ran out of tries, which happens
// less than once in 10^9 exercises. It throws fixed dice for a low slab, the
// easiest box to place, so what it finds depends on the view, the level and
// the side only: a test runs it for every one of them.
func fallback(v View, level int, mirror bool) scene {
	p := plan{stand: under, form: slab, mirror: mirror, aside: v == One && group(level) == 2}
	b := bandOf(v, level, &p)
	r := fixedDice(Finish, v, level)
	for {
		var s scene
		if s.draw(v, &p, &b, &r) && s.admitted(v, &p, &b) {
			return s
		}
	}
}
