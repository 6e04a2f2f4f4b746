package page_test

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

const css = "../../web/css"

// block returns the custom properties of a style sheet's rule, its selector
// given up to the brace.
func block(t *testing.T, sheet, selector string) map[string]string {
	t.Helper()
	_, rest, ok := strings.Cut(sheet, selector+" {")
	if !ok {
		t.Fatalf("no rule %q", selector)
	}
	body, _, _ := strings.Cut(rest, "}")
	m := map[string]string{}
	for _, d := range regexp.MustCompile(`(--[a-z-]+):\s*(#[0-9A-F]{6})`).FindAllStringSubmatch(body, -1) {
		m[d[1]] = d[2]
	}
	if len(m) < 20 {
		t.Fatalf("%s: %d colours", selector, len(m))
	}
	return m
}

// luminance is the relative luminance of WCAG 2.2.
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	v, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if err != nil {
		t.Fatalf("colour %q: %v", hex, err)
	}
	part := func(shift uint) float64 {
		c := float64(v>>shift&255) / 255
		if c <= .04045 {
			return c / 12.92
		}
		return math.Pow((c+.055)/1.055, 2.4)
	}
	return .2126*part(16) + .7152*part(8) + .0722*part(0)
}

func contrast(t *testing.T, a, b string) float64 {
	la, lb := luminance(t, a), luminance(t, b)
	return (max(la, lb) + .05) / (min(la, lb) + .05)
}

// TestContrast computes the contrast of the pages' colours, by day and by
// lamp: 4.5 for text and 3 for lines and signs (WCAG 2.2, 1.4.3 and 1.4.11).
func TestContrast(t *testing.T) {
	b, err := os.ReadFile(filepath.Join(css, "colours.css"))
	if err != nil {
		t.Fatal(err)
	}
	day, lamp := block(t, string(b), ":root"), block(t, string(b), `:root[data-theme="dark"]`)
	system := block(t, string(b), `:root:not([data-theme="light"])`)
	for k, v := range day {
		if lamp[k] == "" || lamp[k] != system[k] {
			t.Errorf("%s: %s by day, %q by choice, %q by the system", k, v, lamp[k], system[k])
		}
	}
	if len(lamp) != len(day) || len(system) != len(day) {
		t.Errorf("%d colours by day, %d and %d by lamp", len(day), len(lamp), len(system))
	}
	rules := []struct {
		least   float64
		ground  string
		colours string
	}{
		{4.5, "--desk", "--text --quiet --desk-ink --desk-note --desk-width --desk-depth --desk-height --desk-red"},
		{4.5, "--panel", "--text --quiet"},
		{4.5, "--card", "--text --quiet"},
		{4.5, "--held", "--text"},
		{4.5, "--press", "--press-text"},
		{4.5, "--red", "--red-text"},
		{4.5, "--paper", "--ink --given --note --width --depth --height --red"},
		{3, "--paper", "--pale --level"},
		{3, "--desk", "--desk-pale --desk-level --rule --focus"},
		{3, "--panel", "--desk-width --desk-depth --desk-height --desk-red --rule --focus --strip-line"},
		{3, "--band", "--desk-width --desk-depth --desk-height --desk-ink"},
		{3, "--card", "--rule --focus --desk-red"},
	}
	for theme, c := range map[string]map[string]string{"day": day, "lamp": lamp} {
		for _, r := range rules {
			for _, k := range strings.Fields(r.colours) {
				if got := contrast(t, c[k], c[r.ground]); got < r.least {
					t.Errorf("%s: %s %s on %s %s: %.2f, want %.1f", theme, k, c[k], r.ground, c[r.ground], got, r.least)
				}
			}
		}
	}
}

// TestContrastScale pins the formula at its ends and at a value worked by
// hand from the definition: #777777 on white is 4.48.
func TestContrastScale(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want float64
	}{{"#000000", "#FFFFFF", 21}, {"#FFFFFF", "#FFFFFF", 1}, {"#777777", "#FFFFFF", 4.48}} {
		if got := contrast(t, c.a, c.b); math.Abs(got-c.want) > .005 {
			t.Errorf("%s on %s: %.3f, want %.2f", c.a, c.b, got, c.want)
		}
	}
}

// TestStyles checks that every style sheet named by a page is there, that
// none is left over, and that nothing is fetched from elsewhere.
func TestStyles(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(css, "*.css"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no style sheets: %v", err)
	}
	pages := all(t)
	m := pages["sheet"] + pages["turntable"]
	defined := map[string]bool{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range regexp.MustCompile(`(--[a-z-]+):`).FindAllStringSubmatch(string(b), -1) {
			defined[d[1]] = true
		}
	}
	for _, f := range files {
		name := filepath.Base(f)
		if !strings.Contains(m, "/css/"+name+`"`) {
			t.Errorf("%s is on no page", name)
		}
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(b), "@import") {
			t.Errorf("%s imports", name)
		}
		for _, u := range regexp.MustCompile(`url\("?([^")]*)`).FindAllStringSubmatch(string(b), -1) {
			if _, err := os.Stat(filepath.Join(css, u[1])); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
		if open, shut := strings.Count(string(b), "{"), strings.Count(string(b), "}"); open != shut {
			t.Errorf("%s: %d { and %d }", name, open, shut)
		}
		// Every property that is used without a fallback is defined.
		for _, v := range regexp.MustCompile(`var\((--[a-z-]+)\)`).FindAllStringSubmatch(string(b), -1) {
			if !defined[v[1]] {
				t.Errorf("%s uses %s, which is not defined", name, v[1])
			}
		}
	}
	for _, n := range elements(t, m) {
		rel, _ := attr(n, "rel")
		if href, ok := attr(n, "href"); ok && rel != "" {
			if _, err := os.Stat(filepath.Join("../../web", strings.TrimPrefix(href, "/assets/v1/"))); err != nil {
				t.Errorf("the page asks for what is not there: %v", err)
			}
		}
	}
}
