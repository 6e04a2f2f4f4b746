package drill

// fallback is a placement known to be sound.
func fallback(v View, level int, mirror bool) scene { panic("none") }
