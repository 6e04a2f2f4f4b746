package store

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"
)

// What a copy of the test program is to do instead of testing: write to this
// folder until it is killed, or check and back up that one.
const (
	crashDir    = "BOXWRIGHT_TEST_CRASH_DIR"
	otherDir    = "BOXWRIGHT_TEST_OTHER_DIR"
	otherBackup = "BOXWRIGHT_TEST_OTHER_BACKUP"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(crashDir); dir != "" {
		fmt.Fprintln(os.Stderr, writeUntilKilled(dir))
		os.Exit(1)
	}
	if dir := os.Getenv(otherDir); dir != "" {
		if err := checkAndBackup(dir, os.Getenv(otherBackup)); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// checkAndBackup is what the other process of a test does.
func checkAndBackup(dir, file string) error {
	ctx := context.Background()
	s, err := OpenExisting(ctx, dir)
	if err != nil {
		return err
	}
	problems, err := s.Check(ctx)
	if err == nil {
		fmt.Printf("%d problems\n", len(problems))
		err = s.Backup(ctx, file)
	}
	return errors.Join(err, s.Close())
}

// writeUntilKilled adds attempts from several goroutines for ever and says on
// standard output which are acknowledged.
func writeUntilKilled(dir string) error {
	ctx := context.Background()
	s, err := Open(ctx, dir)
	if err != nil {
		return err
	}
	failed := make(chan error)
	for g := range 8 {
		go func() { failed <- writeAs(ctx, s, g) }()
	}
	return <-failed
}

func writeAs(ctx context.Context, s *Store, g int) error {
	who, err := s.NewGuest(ctx, token(g), time.Now(), time.Now().Add(life))
	if err != nil {
		return err
	}
	x := sheet(who, "sheet-"+strconv.Itoa(g))
	if err := s.IssueExercise(ctx, x); err != nil {
		return err
	}
	for n := 0; ; n++ {
		a := drawing(x, 1_000_000*g+n)
		if _, _, err := s.AddAttempt(ctx, a); err != nil {
			return err
		}
		// One write call a line: it is out before the next attempt begins.
		if _, err := os.Stdout.WriteString(fmt.Sprintf("%d %d %s\n", g, who, a.ID)); err != nil {
			return err
		}
	}
}

// TestKilledAfterAcknowledging kills a process in the middle of writing and
// looks for everything that it has acknowledged.
func TestKilledAfterAcknowledging(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for round, after := range []int{1, 40, 200} {
		t.Run(fmt.Sprintf("after %d", after), func(t *testing.T) {
			dir := t.TempDir()
			child := exec.Command(self, "-test.run=^$")
			child.Env = append(os.Environ(), crashDir+"="+dir)
			child.Stderr = os.Stderr
			out, err := child.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := child.Start(); err != nil {
				t.Fatal(err)
			}
			var told []string
			for in := bufio.NewScanner(out); in.Scan(); {
				if told = append(told, in.Text()); len(told) == after {
					child.Process.Kill() // SIGKILL; what was said before is still read
				}
			}
			if err := child.Wait(); err == nil || child.ProcessState.Exited() {
				t.Fatalf("the child was not killed: %v", child.ProcessState)
			}
			if len(told) < after {
				t.Fatalf("%d attempts were acknowledged, round %d", len(told), round)
			}
			s := open(t, dir)
			for _, line := range told {
				f := strings.Fields(line)
				if len(f) != 3 {
					continue // the last line may be cut off
				}
				who, err := strconv.ParseInt(f[1], 10, 64)
				if err != nil {
					t.Fatal(err)
				}
				if _, err := s.Attempt(t.Context(), LearnerID(who), f[2]); err != nil {
					t.Errorf("acknowledged and lost: %s: %v", line, err)
				}
			}
			sound(t, s)
			guest(t, s, 999)
		})
	}
}
