// Package web_test runs the tests of the script modules where the modules
// run: in a browser.
//
// Without Chromium they skip and say so; with BOXWRIGHT_BROWSER=required in
// the environment that is a failure.
package web_test

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"boxwright/internal/api"
	"boxwright/internal/ink"
)

// patience bounds the wait for the browser; it is no measure of speed.
const patience = 2 * time.Minute

const page = `<!DOCTYPE html><meta charset="utf-8"><title>Units</title><script type="module" src="/test/unit.js"></script>`

func chromium(t *testing.T) string {
	t.Helper()
	for _, name := range []string{os.Getenv("BOXWRIGHT_CHROMIUM"), "chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); name != "" && err == nil {
			return p
		}
	}
	if os.Getenv("BOXWRIGHT_BROWSER") == "required" {
		t.Fatal("browser tests are required, but there is no Chromium")
	}
	t.Skip("there is no Chromium on this machine: the scripts' tests are skipped")
	return ""
}

func TestModules(t *testing.T) {
	ctx, cancel := chromedp.NewExecAllocator(t.Context(),
		chromedp.ExecPath(chromium(t)), chromedp.UserDataDir(t.TempDir()),
		chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-dev-shm-usage", true),
	)
	t.Cleanup(cancel)
	tab, stop := chromedp.NewContext(ctx)
	t.Cleanup(stop)

	mux := http.NewServeMux()
	mux.Handle("GET /js/", http.FileServerFS(os.DirFS("..")))
	mux.Handle("GET /test/", http.FileServerFS(os.DirFS("..")))
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) { io.WriteString(w, page) })
	srv := httptest.NewServer(mux)
	t.Cleanup(srv.Close)

	var unit struct {
		Results  map[string]string
		Document string
	}
	if err := json.Unmarshal([]byte(run(t, tab, srv.URL)), &unit); err != nil {
		t.Fatal(err)
	}
	if len(unit.Results) == 0 {
		t.Fatal("the browser ran no tests")
	}
	for name, fault := range unit.Results {
		t.Run(name, func(t *testing.T) {
			if fault != "" {
				t.Error(fault)
			}
		})
	}
	t.Run("the server reads what the page writes", func(t *testing.T) { read(t, unit.Document) })
}

// run opens the tests and returns their results as JSON.
func run(t *testing.T, tab context.Context, url string) string {
	t.Helper()
	if err := chromedp.Do(tab, chromedp.Navigate(url+"/")); err != nil {
		t.Fatal(err)
	}
	_, err := chromedp.Run(tab, chromedp.Poll[bool]("!!globalThis.unit",
		chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(patience)))
	if err != nil {
		t.Fatalf("the tests did not come to an end: %v", err)
	}
	text, err := chromedp.Run(tab, chromedp.Evaluate[string]("JSON.stringify(globalThis.unit)"))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func read(t *testing.T, document string) {
	a, err := api.DecodeAttempt([]byte(document))
	if err != nil {
		t.Fatal(err)
	}
	if err := ink.Check(a.Strokes); err != nil {
		t.Fatal(err)
	}
	if a.Input.Pointer != ink.Pen || a.Input.PxPerMM != 3.142 || len(a.Strokes) != 3 {
		t.Errorf("read %+v with %d strokes", a.Input, len(a.Strokes))
	}
	pen, finger, tapped := a.Strokes[0], a.Strokes[1], a.Strokes[2]
	if len(pen.X) != 300 || len(pen.P) != 300 || pen.X[1] != 20.33 || pen.T[1] != 1238.7 || pen.By != "" {
		t.Errorf("the pen's line: %d samples, %v, %v, by %q", len(pen.X), pen.X[1], pen.T[1], pen.By)
	}
	if finger.Role != ink.RoleConstruction || finger.P != nil {
		t.Errorf("the finger's line: %s, pressure %v", finger.Role, finger.P)
	}
	if tapped.By != ink.TwoTap || len(tapped.X) != 2 {
		t.Errorf("the tapped line: by %q, %d samples", tapped.By, len(tapped.X))
	}
}
