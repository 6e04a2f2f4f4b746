package sheet

// Style is what a group of marks stands for; it decides colour, width and
// class.
type Style uint8

// The styles.
const (
	PaperEdge Style = iota
	Horizon
	HorizonLabel
	Tick
	Vanishing    // the ring of a vanishing point
	VanishingDot // and its middle
	VanishingLabel
	ArrowHead
	GivenLine
	GivenDot
	TargetDot
	TargetRing
	TargetLabel
	TrueLine
	MissingGlow // the broad pale line under the true line of a missing edge
	MissingLine
	Ray
	InkLine
	InkUnmatched
	InkConstruction
	Overrun
	PillPlate
	Leader
	Good
	SheetNote // small print on paper only
	// The lines of a guide, and the same when a step has just added them.
	GuideGiven
	GuideGivenNew
	GuideHorizon
	GuideHorizonNew
	GuideLight
	GuideLightNew
	GuideEdge
	GuideEdgeNew
	GuideHidden
	GuideHiddenNew
	GuidePlace // a ring round what the step speaks of
	// The turntable.
	TurnEdge
	TurnHidden
	TurnRay
	Cone // of vision: its circle, or its sides seen from above
	ConeLabel
	PlanPlane // the picture plane seen from its edge
	PlanSight // the line of sight
	PlanDot   // the station point and the principal point
	PlanLabel
	styles
)

// The light colours. Pages may replace them by class; print keeps them.
const (
	colourPaper  = "#FDFCF7"
	colourBoard  = "#E7E4DA"
	colourInk    = "#17233B"
	colourGiven  = "#46526B"
	colourQuiet  = "#5D6270"
	colourLevel  = "#7D7A6A"
	colourPale   = "#858B99"
	colourFaint  = "#767B88" // pale, and in sight on the board too
	colourRed    = "#B3261E"
	colourWidth  = "#3F3D9B"
	colourDepth  = "#9A5200"
	colourHeight = "#0A716C"
	colourTarget = "#46526B"
)

// how says how one style is drawn.
type how struct {
	class   string
	colour  string    // "": the set's
	width   float64   // of the line, mm; 0: filled, no line
	fill    string    // "none", "colour" or a literal colour
	opacity float64   // 0: opaque
	dash    float64   // scale of the set's dash; 0: solid always
	halo    bool      // letters get a rim of the ground's colour
	own     []float64 // a dash of the style's own, mm
}

var looks = [styles]how{
	PaperEdge:       {class: "paper-edge", colour: "#C9C5B8", width: .35, fill: colourPaper},
	Horizon:         {class: "horizon", colour: colourLevel, width: .4, fill: "none"},
	HorizonLabel:    {class: "horizon-label", colour: colourQuiet, fill: "colour", halo: true},
	Tick:            {class: "tick", width: .45, fill: "none", dash: 1},
	Vanishing:       {class: "vp", width: .55, fill: "none"},
	VanishingDot:    {class: "vp-dot", fill: "colour"},
	VanishingLabel:  {class: "vp-label", fill: "colour", halo: true},
	ArrowHead:       {class: "arrow", width: .9, fill: "none"},
	GivenLine:       {class: "given-line", colour: colourGiven, width: .5, fill: "none"},
	GivenDot:        {class: "given-dot", colour: colourGiven, fill: "colour"},
	TargetDot:       {class: "target-dot", colour: colourTarget, fill: "colour"},
	TargetRing:      {class: "target-ring", colour: colourTarget, width: .5, fill: colourPaper},
	TargetLabel:     {class: "target-label", colour: colourQuiet, fill: "colour", halo: true},
	TrueLine:        {class: "true-line", width: .5, fill: "none", dash: 1},
	MissingGlow:     {class: "missing-glow", width: 3, fill: "none", opacity: .16},
	MissingLine:     {class: "true-line missing", width: .95, fill: "none", dash: 1.25},
	Ray:             {class: "ray", width: .3, fill: "none", opacity: .62, dash: 1},
	InkLine:         {class: "ink-line", colour: colourInk, fill: "none"},
	InkUnmatched:    {class: "ink-line unmatched", colour: colourGiven, fill: "none"},
	InkConstruction: {class: "ink-construction", colour: colourPale, fill: "none"},
	Overrun:         {class: "overrun", colour: colourRed, width: .35, fill: "none"},
	PillPlate:       {class: "pill", colour: colourRed, fill: "colour"},
	Leader:          {class: "leader", colour: colourRed, width: .3, fill: "none"},
	Good:            {class: "good", colour: colourQuiet, width: .45, fill: "none"},
	SheetNote:       {class: "sheet-note", colour: colourQuiet, fill: "colour"},
	GuideGiven:      {class: "guide-given", colour: colourGiven, width: .5, fill: "none"},
	GuideGivenNew:   {class: "guide-given", width: 1.1, fill: "none"},
	GuideHorizon:    {class: "guide-horizon", colour: colourLevel, width: .4, fill: "none"},
	GuideHorizonNew: {class: "guide-horizon", colour: colourInk, width: .9, fill: "none"},
	GuideLight:      {class: "guide-light", colour: colourFaint, width: .3, fill: "none", dash: 1},
	GuideLightNew:   {class: "guide-light", width: .6, fill: "none", dash: 1},
	GuideEdge:       {class: "guide-edge", colour: colourInk, width: .7, fill: "none"},
	GuideEdgeNew:    {class: "guide-edge", width: 1.2, fill: "none"},
	GuideHidden:     {class: "guide-hidden", colour: colourInk, width: .45, fill: "none", own: hiddenDash},
	GuideHiddenNew:  {class: "guide-hidden", width: .9, fill: "none", own: hiddenDash},
	GuidePlace:      {class: "guide-place", colour: colourInk, width: .5, fill: "none"},
	TurnEdge:        {class: "turn-edge", width: .9, fill: "none", dash: 1.25},
	TurnHidden:      {class: "turn-edge hidden", width: .4, fill: "none", dash: 1},
	TurnRay:         {class: "turn-ray", width: .3, fill: "none", opacity: .85, dash: 1},
	Cone:            {class: "cone", colour: colourFaint, width: .35, fill: "none"},
	ConeLabel:       {class: "cone-label", colour: colourQuiet, fill: "colour", halo: true},
	PlanPlane:       {class: "plan-plane", colour: colourInk, width: .8, fill: "none"},
	PlanSight:       {class: "plan-sight", colour: colourInk, width: .35, fill: "none", own: sightDash},
	PlanDot:         {class: "plan-dot", colour: colourInk, fill: "colour"},
	PlanLabel:       {class: "plan-label", colour: colourQuiet, fill: "colour", halo: true},
}

// hiddenDash tells a guide's hidden edges from those in sight (ISO 128: short
// dashes), mm.
var hiddenDash = []float64{2.2, 1.3}

// sightDash is the chain line of an axis (ISO 128: long dash, dot), mm.
var sightDash = []float64{6, 1.2, .6, 1.2}

// hue is how one set is told from another.
type hue struct {
	class, colour string
	dash          []float64 // mm; a first length of 0 makes round dots
	thin          []float64 // the same for hairlines, where dots would fade
}

var hues = [4]hue{
	{"set-none", colourGiven, nil, nil},
	{"set-width", colourWidth, nil, nil},
	{"set-depth", colourDepth, []float64{3.6, 1.5}, []float64{2, 1}},
	{"set-height", colourHeight, []float64{0, 1.3}, []float64{.7, .7}},
}

// colourOf returns the colour of style s in set h.
func colourOf(s Style, h Hue) string {
	if c := looks[s].colour; c != "" {
		return c
	}
	return hues[h].colour
}

// dashOf returns the dash of style s in set h in mm, nil for a solid line.
func dashOf(s Style, h Hue) []float64 {
	if looks[s].own != nil {
		return looks[s].own
	}
	k, dash := looks[s].dash, hues[h].dash
	if s == Tick || s == Ray || s == GuideLight || s == GuideLightNew || s == TurnRay {
		dash = hues[h].thin
	}
	if k == 0 || dash == nil {
		return nil
	}
	d := make([]float64, len(dash))
	for i, v := range dash {
		d[i] = v * k
	}
	return d
}
