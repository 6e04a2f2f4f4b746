// Package browser_test drives the whole program through Chromium: the real
// server on a real database, pointer and key events as devices send them.
//
// Without Chromium the tests skip and say so; with BOXWRIGHT_BROWSER=required
// in the environment that is a failure.
package browser_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// patience bounds every wait for the browser: it is no measure of speed, for
// test machines are slow and shared.
const patience = 60 * time.Second

var allocator context.Context // nil: there is no browser

func TestMain(m *testing.M) { os.Exit(run(m)) }

func run(m *testing.M) int {
	path := chromium()
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

// chromium finds the browser; "" when there is none.
func chromium() string {
	for _, name := range []string{os.Getenv("BOXWRIGHT_CHROMIUM"), "chromium", "chromium-browser", "google-chrome"} {
		if name == "" {
			continue
		}
		if p, err := exec.LookPath(name); err == nil {
			return p
		}
	}
	return ""
}
