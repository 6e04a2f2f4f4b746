package server

import (
	"bytes"
	"net/http"
	"strings"
	"testing"
	"time"

	"boxwright/internal/drill"
)

// TestOwnership: what is somebody else's looks like nothing at all.
func TestOwnership(t *testing.T) {
	b := newBench(t, nil)
	mine, other := b.client(), b.client()
	x := mine.issue(drill.Finish, drill.Two, 3)
	mine.handIn(x, attemptID(1))
	other.want(other.get("/"), 200)
	for _, path := range []string{
		"/sheets/" + x.ID, "/sheets/" + x.ID + ".svg", "/sheets/" + x.ID + ".pdf", "/attempts/" + attemptID(1),
		"/attempts/" + attemptID(1) + "/redline", "/attempts/" + attemptID(1) + ".svg",
		"/api/v1/exercises/" + x.ID, "/api/v1/attempts/" + attemptID(1),
	} {
		mine.want(mine.get(path), 200)
		theirs := other.want(other.get(path), 404)
		nothing := other.want(other.get(strings.Replace(strings.Replace(path, x.ID, "nothing", 1), attemptID(1), attemptID(2), 1)), 404)
		if len(theirs.body) != len(nothing.body) {
			t.Errorf("%s: another's answer differs from that for nothing", path)
		}
	}
	other.want(other.post("/api/v1/exercises/"+x.ID+"/attempts", drawn(x, attemptID(3), 0)), 404)
	// Another's attempt id is taken, but tells nothing of the other attempt.
	y := other.issue(drill.Finish, drill.Two, 3)
	a := other.want(other.post("/api/v1/exercises/"+y.ID+"/attempts", drawn(y, attemptID(1), 0)), 409)
	if bytes.Contains(a.body, []byte(x.ID)) {
		t.Errorf("the answer names the other's exercise: %s", a.body)
	}
}

// TestCookie: what a guest's cookie is made of, in the clear and on TLS.
func TestCookie(t *testing.T) {
	for _, https := range []bool{false, true} {
		c := newBench(t, func(c *Config) { c.HTTPS = https }).client()
		a := c.want(c.get("/practice"), 200)
		got := a.header.Values("Set-Cookie")
		if len(got) != 1 {
			t.Fatalf("https %v: cookies %q", https, got)
		}
		cookie, err := http.ParseSetCookie(got[0])
		if err != nil {
			t.Fatal(err)
		}
		if !cookie.HttpOnly || cookie.SameSite != http.SameSiteLaxMode || cookie.Secure != https || cookie.Path != "/" ||
			cookie.MaxAge != 400*24*3600 || cookie.Domain != "" || strings.HasPrefix(cookie.Name, "__Host-") != https {
			t.Errorf("https %v: %s", https, got[0])
		}
		if hsts := a.header.Get("Strict-Transport-Security"); (hsts != "") != https {
			t.Errorf("https %v: HSTS %q", https, hsts)
		}
		if again := c.get("/practice"); !https && again.header.Get("Set-Cookie") != "" {
			t.Errorf("a second visit on the same day sets the cookie again")
		}
	}
}

// gets a 404 and no cookie.
func TestLookupsMakeNoGuest(t *testing.T) {
	b := newBench(t, nil)
	mine := b.client()
	x := mine.issue(drill.Finish, drill.Two, 3)
	mine.handIn(x, attemptID(1))
	for _, path := range []string{"/sheets/" + x.ID, "/attempts/" + attemptID(1), "/api/v1/exercises/" + x.ID, "/api/v1/attempts/" + attemptID(1)} {
		stranger := b.client()
		if a := stranger.want(stranger.get(path), 404); a.header.Get("Set-Cookie") != "" {
			t.Errorf("%s sets a cookie", path)
		}
	}
}

// TestCookieIsRenewed on a later day, and a made-up one is not taken over.
func TestCookieIsRenewed(t *testing.T) {
	now := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	c := newBench(t, func(c *Config) { c.Now = func() time.Time { return now } }).client()
	x := c.issue(drill.Join, drill.None, 1)
	now = now.Add(399 * 24 * time.Hour)
	if a := c.want(c.get("/sheets/"+x.ID), 200); a.header.Get("Set-Cookie") == "" {
		t.Error("the cookie is not renewed")
	}
	now = now.Add(399 * 24 * time.Hour)
	c.want(c.get("/sheets/"+x.ID), 200)
	now = now.Add(401 * 24 * time.Hour)
	c.want(c.get("/sheets/"+x.ID), 404)

	d := c.bench.client()
	made := strings.Repeat("A", 43)
	a := d.do(http.MethodGet, "/practice", "", "", "Cookie", "boxwright="+made)
	if set := a.header.Get("Set-Cookie"); set == "" || strings.Contains(set, made) {
		t.Errorf("a made-up token led to %q", set)
	}
}

// TestCrossSite walks the cases that browsers and other clients present.
func TestCrossSite(t *testing.T) {
	b := newBench(t, nil)
	host := strings.TrimPrefix(b.url, "http://")
	for _, r := range []struct {
		name   string
		method string
		header []string
		ok     bool
	}{
		{"same origin", "POST", []string{"Sec-Fetch-Site", "same-origin"}, true},
		{"typed by the person", "POST", []string{"Sec-Fetch-Site", "none"}, true},
		{"same site, other origin", "POST", []string{"Sec-Fetch-Site", "same-site"}, false},
		{"cross site", "POST", []string{"Sec-Fetch-Site", "cross-site"}, false},
		{"old browser, own origin", "POST", []string{"Origin", "http://" + host}, true},
		{"old browser, other origin", "POST", []string{"Origin", "http://elsewhere.example"}, false},
		{"no browser", "POST", nil, true},
		{"cross site, only reading", "GET", []string{"Sec-Fetch-Site", "cross-site"}, true},
	} {
		t.Run(r.name, func(t *testing.T) {
			c := b.client()
			path, kind, body := "/api/v1/exercises", "application/json", `{"drill":"join","view":"none","level":1}`
			if r.method == "GET" {
				path, kind, body = "/practice", "", ""
			}
			if a := c.do(r.method, path, kind, body, r.header...); (a.status < 300) != r.ok || !r.ok && a.status != 403 {
				t.Errorf("status %d: %s", a.status, a.body)
			}
		})
	}
}
