package server

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"boxwright/internal/drill"
	"boxwright/internal/guide"
)

// TestGuideIsWithheld: before the hand-in a sheet's own guide tells nothing,
// in the page or as a document; afterwards it tells all.
func TestGuideIsWithheld(t *testing.T) {
	c := newBench(t, nil).client()
	for i, v := range drill.Views(drill.Finish) {
		x := c.issue(drill.Finish, v, 10)
		before := c.want(c.get("/guides/"+x.ID+"?step=99"), http.StatusOK).body
		if !bytes.Contains(before, []byte("shown after it is handed in")) {
			t.Errorf("%s: the page does not say when", v)
		}
		if like := fmt.Sprintf("/guides/finish?view=%s&amp;level=10&amp;n=1", v); !bytes.Contains(before, []byte(like)) {
			t.Errorf("%s: no way to %s", v, like)
		}
		c.want(c.get("/guides/"+x.ID+".pdf"), http.StatusNotFound)
		c.handIn(x, attemptID(i+1))
		after := c.want(c.get("/guides/"+x.ID+"?step=99"), http.StatusOK).body
		for what, at := range secrets(x) {
			if found := near(before, at); found != "" {
				t.Errorf("%s: before the hand-in the page holds %s of %s", v, found, what)
			}
			if strings.HasPrefix(what, "corner") && near(after, at) == "" {
				t.Errorf("%s: after the hand-in the page does not show %s at %v", v, what, at)
			}
		}
		if pdf := c.want(c.get("/guides/"+x.ID+".pdf"), http.StatusOK).body; !bytes.HasPrefix(pdf, []byte("%PDF-")) {
			t.Errorf("%s: no document", v)
		}
		redline := c.want(c.get("/attempts/"+attemptID(i+1)+"/redline"), http.StatusOK).body
		if !bytes.Contains(redline, []byte(`href="/guides/`+x.ID+`"`)) {
			t.Errorf("%s: the redline does not lead to the construction", v)
		}
	}
}

// TestAnothersGuide is not there, nor is that of a sheet that never was.
func TestAnothersGuide(t *testing.T) {
	b := newBench(t, nil)
	a, other := b.client(), b.client()
	x := a.issue(drill.Finish, drill.Two, 3)
	a.handIn(x, attemptID(1))
	other.issue(drill.Join, drill.None, 1)
	for _, c := range []*client{other, b.client()} {
		for _, path := range []string{"/guides/" + x.ID, "/guides/" + x.ID + ".pdf", "/guides/none"} {
			c.want(c.get(path), http.StatusNotFound)
		}
	}
}

// TestSampleGuides: every drill's guide opens in every view at every level for
// whoever comes, without a cookie, and the same address gives the same page.
func TestSampleGuides(t *testing.T) {
	b := newBench(t, nil)
	list := b.client().want(b.client().get("/guides"), http.StatusOK).body
	shown := 0
	for _, k := range drill.Kinds {
		if !guide.Has(k) {
			continue
		}
		for _, v := range drill.Views(k) {
			shown++
			if !bytes.Contains(list, []byte(fmt.Sprintf(`id="level-guide-%s-%s"`, k, v))) {
				t.Errorf("the page of all guides lacks %s %s", k, v)
			}
			for level := drill.MinLevel; level <= drill.MaxLevel; level++ {
				path := fmt.Sprintf("/guides/%s?view=%s&level=%d&n=2", k, v, level)
				one, two := b.client().want(b.client().get(path), http.StatusOK), b.client().get(path)
				if !bytes.Equal(one.body, two.body) {
					t.Errorf("%s gives other pages", path)
				}
				if one.header.Get("Set-Cookie") != "" {
					t.Errorf("%s sets a cookie", path)
				}
				if !bytes.Contains(one.body, []byte("n=3")) {
					t.Errorf("%s does not lead to another", path)
				}
			}
			c := b.client()
			c.want(c.get(fmt.Sprintf("/guides/%s.pdf?view=%s&level=5&n=2", k, v)), http.StatusOK)
		}
	}
	if shown < 4 {
		t.Errorf("%d guides", shown)
	}
}

func TestSampleGuideRefusals(t *testing.T) {
	c := newBench(t, nil).client()
	for path, status := range map[string]int{
		"/guides/finish":                       http.StatusOK,
		"/guides/finish?step=x":                http.StatusOK,
		"/guides/finish?view=four":             http.StatusUnprocessableEntity,
		"/guides/finish?level=11":              http.StatusUnprocessableEntity,
		"/guides/finish?level=x":               http.StatusUnprocessableEntity,
		"/guides/finish?n=-1":                  http.StatusNotFound,
		"/guides/finish?n=99999999999":         http.StatusNotFound,
		"/guides/finish?view=%3Cscript%3E&n=1": http.StatusUnprocessableEntity,
	} {
		c.want(c.get(path), status)
	}
}

// TestGuideSeeds: samples differ, and their seeds are not small numbers such
// as an address of practice might hold.
func TestGuideSeeds(t *testing.T) {
	seen := map[uint64]bool{}
	for n := range uint64(1000) {
		s := guideSeed(n)
		if seen[s] || s < 1<<32 {
			t.Errorf("sample %d has seed %d", n, s)
		}
		seen[s] = true
	}
}
