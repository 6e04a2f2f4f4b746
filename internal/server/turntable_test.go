package server

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"boxwright/internal/ink"
	"boxwright/internal/sheet"
)

func TestTurntableRoutes(t *testing.T) {
	c := newBench(t, nil).client()
	for _, r := range []struct {
		path   string
		status int
		says   string
	}{
		{"/turntable", 200, "Two-point"},
		{"/turntable?around=0&up=0&box=slab", 200, "One-point"},
		{"/turntable?around=30&up=-15", 200, "Three-point"},
		{"/turntable?around=&up=&box=", 200, "Two-point"},
		{"/turntable?up=+7", 422, "up is a whole number"}, // a plus in a query is a space
		{"/turntable?around=180&up=60&box=tower", 200, "Two-point"},
		{"/turntable?around=181", 422, "around is a whole number of degrees from -180 to 180."},
		{"/turntable?around=1.5", 422, "around is a whole number"},
		{"/turntable?around=one", 422, "around is a whole number"},
		{"/turntable?around=1&around=2", 422, "around is a whole number"},
		{"/turntable?around=&around=2", 422, "around is a whole number"},
		{"/turntable?up=-61", 422, "up is a whole number of degrees from -60 to 60."},
		{"/turntable?up=99999999999999999999", 422, "up is a whole number"},
		{"/turntable?box=ball", 422, "box is one of cube, slab and tower."},
		{"/turntable?box=cube&box=slab", 422, "box is one of"},
		{"/turntable?around=%zz", 422, "cannot be read"},
		{"/turntable/frame?around=30&up=-15&box=cube", 200, "Three-point"},
		{"/turntable/frame?around=500", 422, "around is a whole number"},
	} {
		a := c.get(r.path)
		if a.status != r.status || !strings.Contains(string(a.body), r.says) {
			t.Errorf("%s: %d, want %d with %q: %.200s", r.path, a.status, r.status, r.says, a.body)
		}
		want := "no-store"
		if r.status == 200 && strings.HasPrefix(r.path, "/turntable/frame") {
			want = "public, max-age=3600"
			if a.header.Get("Set-Cookie") != "" {
				t.Errorf("%s: what anybody may keep sets a cookie", r.path)
			}
		}
		if got := a.header.Get("Cache-Control"); got != want {
			t.Errorf("%s: Cache-Control %q, want %q", r.path, got, want)
		}
	}
	if a := c.do(http.MethodPost, "/turntable", "", ""); a.status != http.StatusMethodNotAllowed {
		t.Errorf("POST: %d", a.status)
	}
}

// TestTurntablePractise: the form of every view leads to a sheet of it.
func TestTurntablePractise(t *testing.T) {
	c := newBench(t, nil).client()
	for _, q := range []string{"?around=0", "?around=30", "?around=30&up=20"} {
		body := string(c.want(c.get("/turntable"+q), 200).body)
		form := url.Values{}
		for _, k := range []string{"drill", "view", "level"} {
			_, rest, ok := strings.Cut(body, `name="`+k+`" value="`)
			if !ok {
				t.Fatalf("%s: no field %s", q, k)
			}
			v, _, _ := strings.Cut(rest, `"`)
			form.Set(k, v)
		}
		c.want(c.do(http.MethodPost, "/sheets", "application/x-www-form-urlencoded", form.Encode()), http.StatusSeeOther)
	}
}

// TestTurntableFrameIsSmall: a frame takes little of a slow line.
func TestTurntableFrameIsSmall(t *testing.T) {
	c := newBench(t, nil).client()
	for _, q := range []string{"?around=0&up=0", "?around=30&up=-20", "?around=-139&up=47&box=tower"} {
		a := c.do(http.MethodGet, "/turntable/frame"+q, "", "", "Accept-Encoding", "gzip")
		if a.header.Get("Content-Encoding") != "gzip" {
			t.Fatalf("%s: not compressed", q)
		}
		z, err := gzip.NewReader(bytes.NewReader(a.body))
		if err != nil {
			t.Fatal(err)
		}
		whole, err := io.ReadAll(z)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %d bytes, %d compressed", q, len(whole), len(a.body))
		if len(a.body) > 5<<10 {
			t.Errorf("%s: %d bytes compressed", q, len(a.body))
		}
	}
}

// FuzzReadTurn: a query gives a position that there is, or an error that says
// which part of it does not fit; what was read can be written and read again.
func FuzzReadTurn(f *testing.F) {
	for _, s := range []string{"", "around=30&up=-15&box=cube", "around=-180&up=60&box=tower", "around=+1", "up=1e1", "around=1&around=2", "box=%00", "%", "a;b"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, query string) {
		at, err := readTurn(query)
		if err != nil {
			var input *ink.InputError
			if !errors.As(err, &input) || input.Detail == "" {
				t.Fatalf("%q: %v", query, err)
			}
			return
		}
		if !at.Sound() {
			t.Fatalf("%q: %v", query, at)
		}
		again, err := readTurn("around=" + strconv.Itoa(at.Around) + "&up=" + strconv.Itoa(at.Up) + "&box=" + string(at.Form))
		if err != nil || again != at {
			t.Fatalf("%q: %v, then %v, %v", query, at, again, err)
		}
	})
}

// BenchmarkTurntableFrame is a frame end to end over a real connection.
func BenchmarkTurntableFrame(b *testing.B) {
	c := newBench(b, nil).client()
	i := 0
	for b.Loop() {
		i++
		at := sheet.Turn{Around: i%361 - 180, Up: i*7%121 - 60}
		c.want(c.get("/turntable/frame?around="+strconv.Itoa(at.Around)+"&up="+strconv.Itoa(at.Up)), 200)
	}
}
