package page

// styles are the style sheets of every page, in order of the cascade.
var styles = [...]string{"colours", "base", "desk", "panel", "sheet", "marks", "pages", "guide", "print"}

// nav is the main navigation.
var nav = [...]Way{{"/", "Draw"}, {"/practice", "Practice"}, {"/guides", "Guides"}, {"/turntable", "Turntable"}, {"/progress", "Progress"}}

// nudge is one button of the keyboard bar.
type nudge struct{ Name, Words, Path string }

// nudges are the steps by which a line is drawn without dragging.
var nudges = [...]nudge{
	{"start-next", "Next start", "M12 4v6m0 4v6M4 12h6m4 0h6M12 10a2 2 0 1 0 0 4 2 2 0 0 0 0-4Z"},
	{"turn-left", "Turn left", "M5 4v6h6M5.5 10A8 8 0 1 1 4 15"},
	{"turn-right", "Turn right", "M19 4v6h-6m5.5 0A8 8 0 1 0 20 15"},
	{"shorter", "Shorter", "M5 12h14"},
	{"longer", "Longer", "M5 12h14M12 5v14"},
	{"step", "Step", "M4 16V8m5 8v-5m5 5V8m5 8v-5"},
	{"keep", "Keep", "m4 13 5 5L20 6"},
	{"drop", "Drop", "m6 6 12 12M18 6 6 18"},
}

// content is the id of a page's main element, where the skip link leads.
func content(page string) string {
	if page == "sheet" || page == "attempt" {
		return "desk"
	}
	return "main"
}
