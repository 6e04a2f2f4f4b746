package page_test

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"boxwright/internal/page"
)

var update = flag.Bool("update", false, "write the golden files anew")

// TestSoundMarkup checks what holds for every page: nothing that the content
// security policy would refuse, unique ids, names for controls, a skip link
// that leads somewhere, only own addresses.
func TestSoundMarkup(t *testing.T) {
	for name, m := range all(t) {
		ids := map[string]bool{}
		var refs []string
		nodes := elements(t, m)
		for _, n := range nodes {
			for _, a := range n.Attr {
				switch {
				case a.Key == "style" || strings.HasPrefix(a.Key, "on"):
					t.Errorf("%s: <%s %s>: refused by the policy", name, n.Data, a.Key)
				case a.Key == "id" && ids[a.Val]:
					t.Errorf("%s: id %q twice", name, a.Val)
				case a.Key == "id":
					ids[a.Val] = true
				case a.Key == "href" || a.Key == "src" || a.Key == "action":
					if !strings.HasPrefix(a.Val, "/") && !strings.HasPrefix(a.Val, "#") || strings.HasPrefix(a.Val, "//") {
						t.Errorf("%s: <%s %s=%q> leads elsewhere", name, n.Data, a.Key, a.Val)
					}
					if id, ok := strings.CutPrefix(a.Val, "#"); ok {
						refs = append(refs, id)
					}
				case a.Key == "aria-labelledby" || a.Key == "aria-describedby" || a.Key == "aria-controls" || a.Key == "for":
					refs = append(refs, a.Val)
				}
			}
			switch n.Data {
			case "style":
				t.Errorf("%s: a style element", name)
			case "script":
				kind, _ := attr(n, "type")
				if _, external := attr(n, "src"); !external && kind != "application/json" {
					t.Errorf("%s: an inline script", name)
				}
			case "button", "a", "h1", "h2", "h3", "summary", "th":
				if text(n) == "" {
					t.Errorf("%s: <%s> without words: %v", name, n.Data, n.Attr)
				}
			}
		}
		for _, r := range refs {
			if !ids[r] {
				t.Errorf("%s: nothing has the id %q", name, r)
			}
		}
		if h := slices.IndexFunc(nodes, func(n *html.Node) bool { return n.Data == "h1" }); h < 0 {
			t.Errorf("%s: no h1", name)
		}
	}
}

// TestHead checks the parts of the head that pages depend on.
func TestHead(t *testing.T) {
	for name, m := range all(t) {
		for _, want := range []string{
			`<!doctype html>`, `<html lang="en">`, `<meta charset="utf-8">`, `width=device-width`,
			`<meta name="color-scheme" content="light dark">`, `<script src="/assets/v1/js/boot.js"></script>`,
			`href="/assets/v1/css/colours.css"`, `href="/assets/v1/icon.svg"`, "Practising as guest",
		} {
			if !strings.Contains(m, want) {
				t.Errorf("%s: no %s", name, want)
			}
		}
		head, _, _ := strings.Cut(m, "</head>")
		if boot, css := strings.Index(head, "boot.js"), strings.Index(head, "stylesheet"); boot < 0 || boot > css {
			t.Errorf("%s: boot.js must come before the first style sheet", name)
		}
	}
}

// TestNavigation checks that each page marks its own entry and no other.
func TestNavigation(t *testing.T) {
	for name, want := range map[string]string{"sheet": "/", "attempt": "", "practice": "/practice", "progress": "/progress", "fault": ""} {
		got := ""
		for _, n := range elements(t, all(t)[name]) {
			if v, ok := attr(n, "aria-current"); ok {
				if v != "page" || got != "" {
					t.Errorf("%s: aria-current=%q after %q", name, v, got)
				}
				got, _ = attr(n, "href")
			}
		}
		if got != want {
			t.Errorf("%s: current entry %q, want %q", name, got, want)
		}
	}
}

// TestScriptContract checks the ids and attributes that the scripts go by.
func TestScriptContract(t *testing.T) {
	m := render(t, page.SheetPage(frame, sheetModel()))
	for _, id := range strings.Fields("desk board paper panel block undo redo clear ruler role keys handin keybar keysay status exercise rest rest-close") {
		byID(t, m, id)
	}
	desk := byID(t, m, "desk")
	for k, want := range map[string]string{
		"data-exercise": "sheet-1", "data-submit": "/api/v1/exercises/sheet-1/attempts", "data-state": "drawing",
	} {
		if got, _ := attr(desk, k); got != want {
			t.Errorf("desk: %s = %q, want %q", k, got, want)
		}
	}
	var nudges []string
	for _, n := range elements(t, m) {
		if v, ok := attr(n, "data-nudge"); ok {
			nudges = append(nudges, v)
		}
	}
	slices.Sort(nudges)
	if want := strings.Fields("drop keep longer shorter start-next step turn-left turn-right"); !slices.Equal(nudges, want) {
		t.Errorf("nudges %v, want %v", nudges, want)
	}
	if p, ok := attr(byID(t, m, "paper"), "style"); ok {
		t.Errorf("paper has a style %q", p)
	}
	for _, id := range []string{"keybar", "rest"} {
		if _, hidden := attr(byID(t, m, id), "hidden"); !hidden {
			t.Errorf("%s is not hidden at first", id)
		}
	}
	if s := byID(t, m, "exercise"); s.FirstChild == nil || s.FirstChild.Data != `{"id":"sheet-1"}` {
		t.Error("the exercise's document is not in the page as it was given")
	}
}

// TestRedlineParts checks that the fragment and the page of an attempt hold
// the same panel and block, with the controls that the scripts go by.
func TestRedlineParts(t *testing.T) {
	part := render(t, page.RedlinePart(redline()))
	whole := render(t, page.AttemptPage(frame, redline()))
	for _, c := range []string{"panel", "block"} {
		if a, b := text(byID(t, part, c)), text(byID(t, whole, c)); a != b || a == "" {
			t.Errorf("%s differs: fragment %q, page %q", c, a, b)
		}
	}
	var order []string
	for n := range byID(t, part, "redline-part").ChildNodes() {
		id, _ := attr(n, "id")
		order = append(order, n.Data+"#"+id)
	}
	if want := []string{"svg#", "aside#panel", "div#block"}; !slices.Equal(order, want) {
		t.Errorf("fragment holds %v, want %v", order, want)
	}
	var toggles []string
	fields := map[string]string{}
	for _, n := range elements(t, part) {
		if v, ok := attr(n, "data-toggle"); ok {
			toggles = append(toggles, v)
			if p, _ := attr(n, "aria-pressed"); p != "true" {
				t.Errorf("toggle %s: aria-pressed %q", v, p)
			}
		}
		if n.Data == "input" {
			k, _ := attr(n, "name")
			fields[k], _ = attr(n, "value")
		}
	}
	if want := []string{"ink", "true", "rays"}; !slices.Equal(toggles, want) {
		t.Errorf("toggles %v, want %v", toggles, want)
	}
	if fields["drill"] != "finish" || fields["view"] != "two" || fields["level"] != "5" {
		t.Errorf("the next sheet is asked for with %v", fields)
	}
	byID(t, part, "next")
	byID(t, part, "replay")
	if to, _ := attr(byID(t, part, "again"), "href"); to != "/sheets/sheet-1" {
		t.Errorf("draw it again leads to %q", to)
	}
	if got, _ := attr(byID(t, whole, "desk"), "data-attempt"); got != "0190-a" {
		t.Errorf("desk: data-attempt = %q", got)
	}
}

// TestWithheld searches the drawing page for every number that would give the
// answer away. The document and the picture are the caller's.
func TestWithheld(t *testing.T) {
	m := render(t, page.SheetPage(frame, page.NewSheet(box(), []byte("{}"), page.Paper{Number: 3, First: true})))
	secrets := []string{"9007199254740993", "-191.96", "462.91", "108.81", "326.35", "99.304", "proportions", "cube"}
	for _, c := range box().Corners {
		secrets = append(secrets, strconv.FormatFloat(c.X, 'f', 1, 64), strconv.FormatFloat(c.Y, 'f', 1, 64))
	}
	for _, s := range secrets {
		if strings.Contains(m, s) {
			t.Errorf("the page holds %q", s)
		}
	}
}

// TestHostileText puts markup into every text that comes from outside.
func TestHostileText(t *testing.T) {
	x, a, g := graded()
	x.ID, a.ID = hostile, hostile
	g.Findings[0].Text = "Your width lines " + hostile
	g.Findings[1].Text = hostile
	frame := page.Frame{Assets: "/assets/v1/", Who: hostile}
	p := progressModel()
	p.Recent[0].Name, p.Skills[0].Name, p.Skills[0].Key = hostile, hostile, hostile
	for name, m := range map[string]string{
		"sheet":    render(t, page.SheetPage(frame, page.NewSheet(x, []byte(`{"id":"</script><script>alert(1)</script><!--"}`), page.Paper{}))),
		"redline":  render(t, page.RedlinePart(page.NewRedline(x, a, g, page.Paper{}))),
		"attempt":  render(t, page.AttemptPage(frame, page.NewRedline(x, a, g, page.Paper{}))),
		"progress": render(t, page.ProgressPage(frame, p)),
		"fault":    render(t, page.FaultPage(frame, page.NewFault(404, hostile, hostile))),
	} {
		for _, n := range elements(t, m) {
			if n.Data == "b" {
				t.Errorf("%s: text became markup", name)
			}
			if n.Data == "script" {
				kind, _ := attr(n, "type")
				if _, src := attr(n, "src"); !src && kind != "application/json" {
					t.Errorf("%s: text became a script", name)
				}
			}
			if h, ok := attr(n, "href"); ok && strings.HasPrefix(h, "javascript") {
				t.Errorf("%s: href %q", name, h)
			}
		}
	}
}

// TestGolden pins the redline fragment, the panel's words above all.
func TestGolden(t *testing.T) {
	got := strings.ReplaceAll(render(t, page.RedlinePart(redline())), "><", ">\n<")
	// The strips' pictures are pinned where they are drawn.
	got = regexp.MustCompile(`(?s)<svg[^>]*class="strip.*?</svg>`).ReplaceAllString(got, "<strip>")
	file := filepath.Join("testdata", "redline.html")
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the fragment changed:\n%s", got)
	}
}

func BenchmarkPage(b *testing.B) {
	s, r, p := sheetModel(), redline(), progressModel()
	for name, f := range map[string]func(){
		"sheet":    func() { render(b, page.SheetPage(frame, s)) },
		"redline":  func() { render(b, page.RedlinePart(r)) },
		"progress": func() { render(b, page.ProgressPage(frame, p)) },
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				f()
			}
		})
	}
}

func BenchmarkNewRedline(b *testing.B) {
	x, a, g := graded()
	b.ReportAllocs()
	for b.Loop() {
		page.NewRedline(x, a, g, page.Paper{SVG: picture})
	}
}
