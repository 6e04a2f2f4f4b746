package sheet

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"boxwright/internal/geom"
)

// pt is a typographic point, 1/72 inch, in mm.
const pt = 25.4 / 72

// content returns the page's drawing commands.
func content(t *testing.T, doc []byte) string {
	t.Helper()
	for _, m := range regexp.MustCompile(`(?s)stream\n(.*?)\nendstream`).FindAllSubmatch(doc, -1) {
		z, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue
		}
		b, err := io.ReadAll(z)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	t.Fatal("no page in the document")
	return ""
}

// printedLines returns the straight lines of a page in mm, y down.
func printedLines(t *testing.T, doc []byte, height float64) []geom.Segment {
	t.Helper()
	var out []geom.Segment
	for _, m := range regexp.MustCompile(`([\d.-]+) ([\d.-]+) m ([\d.-]+) ([\d.-]+) l S`).FindAllStringSubmatch(content(t, doc), -1) {
		var v [4]float64
		for i := range v {
			f, err := strconv.ParseFloat(m[i+1], 64)
			if err != nil {
				t.Fatal(err)
			}
			v[i] = f * pt
		}
		out = append(out, geom.Segment{A: geom.Vec{X: v[0], Y: height - v[1]}, B: geom.Vec{X: v[2], Y: height - v[3]}})
	}
	return out
}

// The page is the sheet, and every line on it lies where the exercise has it,
// to what the format's two decimals of a point allow.
func TestPrintMeasuresTrue(t *testing.T) {
	const off = .005 * pt * 1.5 // mm
	for _, v := range views {
		x := scene(t, v)
		doc, err := PDF(Exercise(x), "Finish the box")
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(doc), "/MediaBox [0 0 841.89 595.28]") { // A4 in points
			t.Errorf("%s: the page is no A4 sheet: %s", v.name, regexp.MustCompile(`/MediaBox[^\n]*`).Find(doc))
		}
		lines := printedLines(t, doc, x.Sheet.Height)
		has := func(want geom.Segment) bool {
			for _, l := range lines {
				if l.A.Sub(want.A).Len() < off && l.B.Sub(want.B).Len() < off {
					return true
				}
			}
			return false
		}
		given := 0
		for _, e := range x.Edges {
			if e.Given {
				given++
				if !has(x.Segment(e)) {
					t.Errorf("%s: %s is not printed where it lies", v.name, e.ID)
				}
			}
		}
		if given == 0 {
			t.Fatalf("%s gives no edge", v.name)
		}
		bar := false
		for _, l := range lines {
			bar = bar || math.Abs(l.Len()-50) < 2*off && l.A.Y == l.B.Y
		}
		if !bar {
			t.Errorf("%s: no bar of 50 mm", v.name)
		}
	}
}

func TestPrintIsDeterministic(t *testing.T) {
	x := scene(t, views[2])
	a, g := drawn(x, 2, true)
	one, err := PDF(Redline(x, a, g), "Ünïcode (a\\b)")
	if err != nil {
		t.Fatal(err)
	}
	two, err := PDF(Redline(x, a, g), "Ünïcode (a\\b)")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(one, two) {
		t.Error("the same drawing gives other bytes")
	}
}

// An outside reader of the format finds the scale bar 50 mm long.
func TestPrintInAnotherReader(t *testing.T) {
	tool, err := exec.LookPath("pdftoppm")
	if err != nil {
		t.Skip("pdftoppm is not installed: the print is only checked by its own numbers")
	}
	x := scene(t, views[1])
	doc, err := PDF(Exercise(x), "")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "sheet.pdf")
	if err := os.WriteFile(file, doc, 0o600); err != nil {
		t.Fatal(err)
	}
	const dpi = 254 // ten dots a millimetre
	if out, err := exec.Command(tool, "-r", fmt.Sprint(dpi), "-singlefile", "-png", file, filepath.Join(dir, "sheet")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	f, err := os.Open(filepath.Join(dir, "sheet.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	if w, h := img.Bounds().Dx(), img.Bounds().Dy(); absInt(w-2970) > 1 || absInt(h-2100) > 1 {
		t.Errorf("page of %d by %d dots, want 2970 by 2100", w, h)
	}
	dark := func(x, y int) bool { r, _, _, _ := img.At(x, y).RGBA(); return r < 0xC000 }
	y := 10 * (210 - 7)
	first, last := 0, 0
	for x := 10*(297-8-50) - 15; x < img.Bounds().Dx(); x++ { // right of all letters
		if dark(x, y) && dark(x, y+8) { // the bar's end marks stand above and below it
			if first == 0 {
				first = x
			}
			last = x
		}
	}
	if mm := float64(last-first) / 10; math.Abs(mm-50) > .6 { // a pen's width
		t.Errorf("the bar is %.1f mm long from %d to %d, want 50", mm, first, last)
	}
}

func absInt(n int) int { return max(n, -n) }
