package browser_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// screens is where the tests leave screenshots to be looked at.
const screens = "../../testdata/screens"

// A tab is one page, in a browser profile of its own unless it is a sibling,
// so that its cookies and stored drawings are nobody else's. What the page
// complains of and whom it asks is watched in every test: any fault fails it.
type tab struct {
	*testing.T
	ctx    context.Context
	site   *site
	window window
	close  func()
	clock  float64 // of the hand, seconds since 1970: see hour
	mu     sync.Mutex
	faults []string
	// offline: the test cuts the network, so failing requests are no fault.
	offline bool
}

// A window is a screen to draw on.
type window struct {
	name          string
	width, height int64
	scale         float64
	touch, dark   bool
	still         bool // its owner wants no motion
}

var (
	desktop = window{name: "desktop", width: 1280, height: 800, scale: 1}
	tablet  = window{name: "tablet", width: 820, height: 1180, scale: 1, touch: true}
	phone   = window{name: "phone", width: 390, height: 844, scale: 1, touch: true}
)

func newTab(t *testing.T, s *site, w window) *tab {
	t.Helper()
	return openTab(t, s, w, allocator, chromedp.WithNewBrowserContext())
}

// sibling opens another tab in the same profile. It is closed with the tab
// it came from, or before.
func (b *tab) sibling() *tab {
	b.Helper()
	c := openTab(b.T, b.site, b.window, b.ctx)
	c.offline = b.offline
	return c
}

func openTab(t *testing.T, s *site, w window, parent context.Context, opts ...chromedp.ContextOption) *tab {
	t.Helper()
	b := &tab{T: t, site: s, window: w}
	ctx, cancel := chromedp.NewContext(parent, append(opts, chromedp.WithListener(b.hear))...)
	b.ctx, b.close = ctx, cancel
	t.Cleanup(func() {
		b.mu.Lock()
		defer b.mu.Unlock()
		for _, f := range b.faults {
			t.Error(f)
		}
	})
	t.Cleanup(cancel)
	b.do()
	call(b, network.Enable, network.EnableParams{})
	call(b, log.Enable, cdp.Empty{})
	b.resize(w)
	return b
}

// resize gives the tab another screen.
func (b *tab) resize(w window) {
	b.Helper()
	b.window = w
	call(b, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
		Width: w.width, Height: w.height, DeviceScaleFactor: w.scale, Mobile: w.touch})
	call(b, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: w.touch, MaxTouchPoints: 5})
	scheme, motion := "light", "no-preference"
	if w.dark {
		scheme = "dark"
	}
	if w.still {
		motion = "reduce"
	}
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
		{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: motion}}})
}

// hear notes what a page must not do: ask another origin, throw, complain.
// A broken content policy is told in the log as well.
func (b *tab) hear(ev any) {
	fault := ""
	switch e := ev.(type) {
	case *network.EventRequestWillBeSent:
		if !own(e.Request.URL, b.site.url) {
			fault = "asked another origin: " + e.Request.URL
		}
	case *runtime.EventExceptionThrown:
		fault = "threw: " + e.ExceptionDetails.Text
		if x := e.ExceptionDetails.Exception; x != nil {
			fault += " " + x.Description
		}
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			fault = fmt.Sprintf("console %s: %v", e.Type, e.Args)
		}
	case *log.EventEntryAdded:
		if b.offline && e.Entry.Source == log.EntrySourceNetwork {
			return
		}
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
			fault = fmt.Sprintf("%s %s: %s %s", e.Entry.Source, e.Entry.Level, e.Entry.Text, e.Entry.URL)
		}
	}
	if fault != "" {
		b.mu.Lock()
		b.faults = append(b.faults, fault)
		b.mu.Unlock()
	}
}

// own reports whether a request stays with the site; data and blob addresses
// ask nobody.
func own(url, site string) bool {
	for _, p := range []string{site + "/", "data:", "blob:", "about:"} {
		if strings.HasPrefix(url, p) {
			return true
		}
	}
	return false
}

// takeFaults returns the faults so far and forgets them.
func (b *tab) takeFaults() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	f := b.faults
	b.faults = nil
	return f
}

func (b *tab) must(err error) {
	b.Helper()
	if err != nil {
		b.Fatal(err)
	}
}

// call runs a protocol command on the tab.
func call[P, R any](b *tab, cmd cdp.Command[P, R], params P) R {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	r, err := chromedp.Call(ctx, cmd, params)
	if err != nil {
		b.Fatalf("%s: %v", cmd.Method, err)
	}
	return r
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	b.must(chromedp.Do(b.ctx, steps...))
}

func (b *tab) open(path string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	b.must(chromedp.Do(ctx, chromedp.Navigate(b.site.url+path)))
}

// try returns the value of a JavaScript expression in the page; promises are
// waited for.
func try[T any](b *tab, expression string) (v T, err error) {
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	yes := true
	r, err := chromedp.Call(ctx, runtime.Evaluate, runtime.EvaluateParams{
		Expression: "(async () => JSON.stringify(await (" + expression + ")))()", AwaitPromise: &yes, ReturnByValue: &yes})
	if err != nil {
		return v, err
	}
	if x := r.ExceptionDetails; x != nil {
		if x.Exception != nil {
			return v, fmt.Errorf("%s %s", x.Text, x.Exception.Description)
		}
		return v, fmt.Errorf("%s", x.Text)
	}
	var text string
	if len(r.Result.Value) == 0 {
		return v, nil // undefined
	}
	if err := json.Unmarshal(r.Result.Value, &text); err != nil {
		return v, err
	}
	return v, json.Unmarshal([]byte(text), &v)
}

// eval is try for expressions that cannot fail.
func eval[T any](b *tab, expression string) T {
	b.Helper()
	v, err := try[T](b, expression)
	if err != nil {
		b.Fatalf("%s: %v", expression, err)
	}
	return v
}

// wait waits until a JavaScript condition holds, in whatever page is then in
// the tab.
func (b *tab) wait(condition string) {
	b.Helper()
	tick := time.NewTicker(10 * time.Millisecond)
	defer tick.Stop()
	end := time.After(patience)
	for {
		ok, err := try[bool](b, "!!(await ("+condition+"))")
		if err == nil && ok {
			return
		}
		select {
		case <-end:
			b.shot("failed")
			b.Fatalf("waited in vain for %s (%v)", condition, err)
		case <-b.ctx.Done():
			b.Fatal(b.ctx.Err())
		case <-tick.C:
		}
	}
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
	b.must(os.WriteFile(filepath.Join(screens, name+".png"), png, 0o644))
}
