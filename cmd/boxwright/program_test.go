package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
)

// program is the program as people get it, built once for all tests here.
var program string

func TestMain(m *testing.M) { os.Exit(build(m)) }

func build(m *testing.M) int {
	dir, err := os.MkdirTemp("", "boxwright")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	program = filepath.Join(dir, "boxwright")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "building: %v\n%s", err, out)
		return 1
	}
	return m.Run()
}

// A process is the server running.
type process struct {
	*testing.T
	cmd    *exec.Cmd
	url    string
	client *http.Client
	log    *bytes.Buffer
}

func start(t *testing.T, dir string, jar http.CookieJar) *process {
	t.Helper()
	p := &process{T: t, cmd: exec.Command(program, "serve", "-addr", "127.0.0.1:0", "-data", dir), client: &http.Client{Jar: jar}, log: new(bytes.Buffer)}
	p.cmd.Stderr = p.log
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if p.cmd.ProcessState == nil {
			p.cmd.Process.Kill()
			p.cmd.Wait()
		}
	})
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatalf("the server said nothing: %v\n%s", err, p.log)
	}
	m := regexp.MustCompile(`http://[^/]+/`).FindString(line)
	if m == "" {
		t.Fatalf("no address in %q", line)
	}
	p.url = strings.TrimSuffix(m, "/")
	return p
}

func newJar(t *testing.T) http.CookieJar {
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return jar // it knows hosts, not ports: a restart may change the port
}

func (p *process) post(path, body string, want int) []byte {
	p.Helper()
	res, err := p.client.Post(p.url+path, "application/json", strings.NewReader(body))
	if err != nil {
		p.Fatal(err)
	}
	return p.read(res, want)
}

func (p *process) get(path string, want int) []byte {
	p.Helper()
	res, err := p.client.Get(p.url + path)
	if err != nil {
		p.Fatal(err)
	}
	return p.read(res, want)
}

func (p *process) read(res *http.Response, want int) []byte {
	p.Helper()
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		p.Fatal(err)
	}
	if res.StatusCode != want {
		p.Fatalf("%s: status %d, want %d: %s\n%s", res.Request.URL.Path, res.StatusCode, want, b, p.log)
	}
	return b
}

// handIn asks for a sheet and hands in n attempts at it, the last one just
// before stop is called.
func (p *process) handIn(n int) (ids []string, grades [][]byte) {
	p.Helper()
	var x struct{ ID string }
	if err := json.Unmarshal(p.post("/api/v1/exercises", `{"drill":"finish","view":"two","level":3}`, http.StatusCreated), &x); err != nil {
		p.Fatal(err)
	}
	for i := range n {
		id := fmt.Sprintf("0190b6a4-7c00-7000-8000-%012d", i+1)
		body := fmt.Sprintf(`{"version":1,"attempt":%q,"exercise":%q,"input":{"pointer":"pen","px_per_mm":3.1},"strokes":[{"x":[100.01,120.5,140],"y":[100,101.25,%d],"t":[0,8,16.1]}]}`, id, x.ID, 100+i)
		ids = append(ids, id)
		grades = append(grades, p.post("/api/v1/exercises/"+x.ID+"/attempts", body, http.StatusCreated))
	}
	return ids, grades
}

// TestKill kills the server with SIGKILL straight after it acknowledged an
// attempt: everything acknowledged is there after a restart.
func TestKill(t *testing.T) {
	dir, jar := t.TempDir(), newJar(t)
	ids := []string{}
	grades := map[string][]byte{}
	p := start(t, dir, jar)
	got, answers := p.handIn(20)
	if err := p.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	p.cmd.Wait()
	for i, id := range got {
		ids = append(ids, id)
		grades[id] = answers[i]
	}

	p = start(t, dir, jar)
	for _, id := range ids {
		var view struct{ Grade json.RawMessage }
		if err := json.Unmarshal(p.get("/api/v1/attempts/"+id, http.StatusOK), &view); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(view.Grade, grades[id]) {
			t.Errorf("attempt %s: the grade was %s, after the restart it is %s", id, grades[id], view.Grade)
		}
	}
	p.stop()
	if out, err := exec.Command(program, "check", "-data", dir).CombinedOutput(); err != nil {
		t.Errorf("check: %v\n%s", err, out)
	}
}

// stop asks the server to stop and expects exit status 0.
func (p *process) stop() {
	p.Helper()
	if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		p.Fatal(err)
	}
	if err := p.cmd.Wait(); err != nil {
		p.Fatalf("after SIGTERM: %v\n%s", err, p.log)
	}
}

// TestTermDrains stops the server while a request is under way: the request
// is still answered, the server exits with 0.
func TestTermDrains(t *testing.T) {
	p := start(t, t.TempDir(), newJar(t))
	var x struct{ ID string }
	if err := json.Unmarshal(p.post("/api/v1/exercises", `{"drill":"join","view":"none","level":1}`, http.StatusCreated), &x); err != nil {
		t.Fatal(err)
	}
	body := fmt.Sprintf(`{"version":1,"attempt":"0190b6a4-7c00-7000-8000-000000000001","exercise":%q,"input":{"pointer":"pen"},"strokes":[]}`, x.ID)
	r, w := io.Pipe()
	req, err := http.NewRequest(http.MethodPost, p.url+"/api/v1/exercises/"+x.ID+"/attempts", r)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Expect", "100-continue")
	type answer struct {
		res *http.Response
		err error
	}
	answered := make(chan answer, 1)
	go func() {
		res, err := p.client.Do(req)
		answered <- answer{res, err}
	}()
	// The write returns when the server has begun to read: it answers
	// "100 Continue" only from within the handler.
	if _, err := io.WriteString(w, body[:10]); err != nil {
		t.Fatal(err)
	}
	if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(w, body[10:]); err != nil {
		t.Fatal(err)
	}
	w.Close()
	a := <-answered
	if a.err != nil {
		t.Fatalf("the request under way was cut: %v", a.err)
	}
	p.read(a.res, http.StatusCreated)
	if err := p.cmd.Wait(); err != nil {
		t.Fatalf("after SIGTERM: %v\n%s", err, p.log)
	}
}

// TestBackup copies the data of a running server and serves from the copy.
func TestBackup(t *testing.T) {
	dir, jar := t.TempDir(), newJar(t)
	p := start(t, dir, jar)
	ids, _ := p.handIn(3)
	copies := t.TempDir()
	file := filepath.Join(copies, "boxwright.db")
	if out, err := exec.Command(program, "backup", "-data", dir, file).CombinedOutput(); err != nil {
		t.Fatalf("backup: %v\n%s", err, out)
	}
	if err := exec.Command(program, "backup", "-data", dir, file).Run(); err == nil {
		t.Error("a second backup wrote over the first")
	}
	before := p.get("/api/v1/attempts/"+ids[2], http.StatusOK)
	p.stop()
	q := start(t, copies, jar)
	if after := q.get("/api/v1/attempts/"+ids[2], http.StatusOK); !bytes.Equal(before, after) {
		t.Errorf("the copy answers %s, the original answered %s", after, before)
	}
	q.stop()
}

// TestHealth asks a running server, and nobody.
func TestHealth(t *testing.T) {
	p := start(t, t.TempDir(), newJar(t))
	addr := strings.TrimPrefix(p.url, "http://")
	if out, err := exec.Command(program, "health", "-addr", addr).CombinedOutput(); err != nil {
		t.Errorf("health: %v\n%s", err, out)
	}
	p.stop()
	if err := exec.Command(program, "health", "-addr", addr).Run(); err == nil {
		t.Error("a stopped server is called ready")
	}
}

// TestLogHoldsNoPersonalData looks for what would say who asked.
func TestLogHoldsNoPersonalData(t *testing.T) {
	p := start(t, t.TempDir(), newJar(t))
	ids, _ := p.handIn(1)
	p.get("/attempts/"+ids[0], http.StatusOK)
	p.stop()
	log := p.log.String()
	if !strings.Contains(log, `"route":"/attempts/{id}"`) {
		t.Fatalf("the log does not tell of the request:\n%s", log)
	}
	for _, secret := range []string{"127.0.0.1", ids[0], "boxwright=", "Cookie"} {
		if strings.Contains(log, secret) {
			t.Errorf("the log holds %q:\n%s", secret, log)
		}
	}
}

func exitStatus(t *testing.T, stdin string, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	cmd := exec.Command(program, args...)
	var out, errs bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = strings.NewReader(stdin), &out, &errs
	err := cmd.Run()
	if exit := (*exec.ExitError)(nil); err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return cmd.ProcessState.ExitCode(), out.String(), errs.String()
}
