// Package browser_test drives the whole program through Chromium: the real
// server on a real database, pointer and key events as devices send them.
//
// Without Chromium the tests skip and say so; with BOXWRIGHT_BROWSER=required
// in the environment that is a failure.
package browser_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"boxwright/internal/server"
	"boxwright/internal/store"
)

// patience bounds every wait for the browser: it is no measure of speed, for
// test machines are slow and shared.
const patience = 60 * time.Second

// screens is where the tests leave screenshots to be looked at.
const screens = "../../testdata/screens"

var allocator context.Context // nil: there is no browser

func TestMain(m *testing.M) { os.Exit(run(m)) }

func run(m *testing.M) int {
	path := ""
	for _, name := range []string{os.Getenv("BOXWRIGHT_CHROMIUM"), "chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); name != "" && err == nil {
			path = p
			break
		}
	}
	if path == "" {
		if os.Getenv("BOXWRIGHT_BROWSER") == "required" {
			fmt.Fprintln(os.Stderr, "browser tests are required, but there is no Chromium")
			return 1
		}
		return m.Run()
	}
	profile, err := os.MkdirTemp("", "boxwright-profile")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(profile)
	ctx, cancel := chromedp.NewExecAllocator(context.Background(),
		chromedp.ExecPath(path), chromedp.UserDataDir(profile),
		chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("hide-scrollbars", true),
	)
	defer cancel()
	browser, stop := chromedp.NewContext(ctx)
	defer stop()
	if err := chromedp.Do(browser); err != nil {
		fmt.Fprintln(os.Stderr, "starting Chromium:", err)
		return 1
	}
	allocator = browser
	return m.Run()
}

// A site is a server of the test's own, whose network can be cut.
type site struct {
	url  string
	down atomic.Bool
}

func newSite(t *testing.T) *site {
	t.Helper()
	st, err := store.Open(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	srv, err := server.New(server.Config{Store: st, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	s := &site{}
	h := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if s.down.Load() {
			panic(http.ErrAbortHandler) // the connection breaks without an answer
		}
		srv.ServeHTTP(w, r)
	}))
	s.url = h.URL
	t.Cleanup(func() {
		h.CloseClientConnections()
		h.Close()
		if err := st.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// A tab is one page in a browser profile of its own, so that its cookies and
// stored drawings are nobody else's.
type tab struct {
	*testing.T
	ctx context.Context
	// foreign collects requests that left for another origin, faults what the
	// page itself complained of.
	site    *site
	foreign chan string
}

type window struct {
	name          string
	width, height int64
	scale         float64
	touch, dark   bool
}

var (
	desktop = window{name: "desktop", width: 1280, height: 800, scale: 1}
	tablet  = window{name: "tablet", width: 820, height: 1180, scale: 2, touch: true}
	phone   = window{name: "phone", width: 390, height: 844, scale: 3, touch: true}
)

func newTab(t *testing.T, s *site, w window) *tab {
	t.Helper()
	if allocator == nil {
		t.Skip("there is no Chromium on this machine: browser tests are skipped")
	}
	ctx, cancel := chromedp.NewContext(allocator, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	ctx, stop := context.WithTimeout(ctx, 5*time.Minute)
	t.Cleanup(stop)
	b := &tab{T: t, ctx: ctx, site: s, foreign: make(chan string, 64)}
	b.do(chromedp.Func(func(context.Context, *chromedp.Target) error { return nil }))
	b.must(chromedp.Listen(ctx, func(ev any) {
		if e, ok := ev.(*network.EventRequestWillBeSent); ok {
			b.seen(e.Request.URL)
		}
	}))
	call(b, network.Enable, network.EnableParams{})
	scheme := "light"
	if w.dark {
		scheme = "dark"
	}
	call(b, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
		Width: w.width, Height: w.height, DeviceScaleFactor: w.scale, Mobile: w.touch})
	if w.touch {
		call(b, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true})
	}
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	return b
}

// seen notes requests to other origins; data and blob addresses ask nobody.
func (b *tab) seen(url string) {
	for _, own := range []string{b.site.url + "/", "data:", "blob:", "about:"} {
		if len(url) >= len(own) && url[:len(own)] == own {
			return
		}
	}
	select {
	case b.foreign <- url:
	default:
	}
}

func (b *tab) must(err error) {
	b.Helper()
	if err != nil {
		b.Fatal(err)
	}
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	b.must(chromedp.Do(b.ctx, steps...))
}

func (b *tab) open(path string) {
	b.Helper()
	b.do(chromedp.Navigate(b.site.url + path))
}

// eval returns the value of a JavaScript expression in the page.
func eval[T any](b *tab, expression string) T {
	b.Helper()
	var v T
	text, err := chromedp.Run(b.ctx, chromedp.Evaluate[string]("JSON.stringify("+expression+")"))
	if err != nil {
		b.Fatalf("%s: %v", expression, err)
	}
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		b.Fatalf("%s gave %s: %v", expression, text, err)
	}
	return v
}

// wait waits until a JavaScript condition holds.
func (b *tab) wait(condition string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	_, err := chromedp.Run(ctx, chromedp.Poll[bool]("!!("+condition+")", chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(patience)))
	if err != nil {
		b.shot("failed")
		b.Fatalf("waited in vain for %s: %v", condition, err)
	}
}

// click clicks an element as a person does: where it is on the screen.
func (b *tab) click(css string) {
	b.Helper()
	b.do(chromedp.Click(chromedp.CSS(css)))
}

// text returns what an element says.
func (b *tab) text(css string) string {
	b.Helper()
	return eval[string](b, fmt.Sprintf("document.querySelector(%q).innerText", css))
}

// shot leaves a screenshot to be looked at.
func (b *tab) shot(name string) {
	b.Helper()
	png, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
	b.must(err)
	b.must(os.MkdirAll(screens, 0o755))
	b.must(os.WriteFile(filepath.Join(screens, b.fileName()+"-"+name+".png"), png, 0o644))
}

// fileName is the test's name as a file name.
func (b *tab) fileName() string {
	return strings.NewReplacer("/", "-", " ", "-").Replace(b.Name())
}
