package store

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
)

// held starts a change that keeps the writer busy until release is called,
// so that what follows piles up behind it. release returns the change's error.
func held(w *writer) (release func() error) {
	running, end, done := make(chan bool), make(chan bool), make(chan error)
	go func() {
		done <- w.run(context.Background(), func(*tx) error {
			close(running)
			<-end
			return nil
		})
	}()
	<-running
	return func() error {
		close(end)
		return <-done
	}
}

// TestBatchIsolates: changes that run together stand and fall alone.
func TestBatchIsolates(t *testing.T) { synctest.Test(t, batchIsolates) }

func batchIsolates(t *testing.T) {
	s := open(t, t.TempDir())
	const n = 60
	release := held(s.writer)
	var wg sync.WaitGroup
	errs := make([]error, n)
	panics := make([]any, n)
	for i := range n {
		wg.Go(func() {
			defer func() { panics[i] = recover() }()
			errs[i] = s.write(context.Background(), "test", func(x *tx) error {
				if err := x.exec(`INSERT INTO learner (id, created_ms) VALUES ($1, $2)`, 1000+i, i); err != nil {
					return err
				}
				switch i % 4 {
				case 1: // a constraint fails
					return x.exec(`INSERT INTO learner (id, created_ms) VALUES ($1, $2)`, 1000+i, i)
				case 2: // the change thinks better of it
					return ErrNotFound
				case 3:
					panic("lamp out")
				}
				return nil
			})
		})
	}
	synctest.Wait() // all of them wait behind the one that is held
	if err := release(); err != nil {
		t.Error(err)
	}
	wg.Wait()
	for i := range n {
		ok := false
		switch i % 4 {
		case 0:
			ok = errs[i] == nil && panics[i] == nil
		case 1:
			ok = errors.Is(errs[i], ErrConflict)
		case 2:
			ok = errors.Is(errs[i], ErrNotFound)
		case 3:
			ok = strings.HasPrefix(fmt.Sprint(panics[i]), "lamp out")
		}
		if !ok {
			t.Errorf("change %d: %v, panic %v", i, errs[i], panics[i])
		}
		var kept bool
		if err := s.readers.db.QueryRow(`SELECT count(*) = 1 FROM learner WHERE id = $1`, 1000+i).Scan(&kept); err != nil {
			t.Fatal(err)
		}
		if kept != (i%4 == 0) {
			t.Errorf("change %d: kept %v", i, kept)
		}
	}
	sound(t, s)
}

// TestLostBatch: when the transaction is lost, as with a full disk, nobody in
// it is told that anything was kept, and the next one works.
func TestLostBatch(t *testing.T) { synctest.Test(t, lostBatch) }

func lostBatch(t *testing.T) {
	s := open(t, t.TempDir())
	release := held(s.writer)
	var wg sync.WaitGroup
	errs := make([]error, 9)
	for i := range errs {
		wg.Go(func() {
			errs[i] = s.write(context.Background(), "test", func(x *tx) error {
				if i == 4 {
					return errors.Join(x.exec(`ROLLBACK`), errors.New("lost"))
				}
				return x.exec(`INSERT INTO learner (id, created_ms) VALUES ($1, 1)`, 1000+i)
			})
		})
	}
	synctest.Wait() // all of them wait behind the one that is held
	if err := release(); err == nil {
		t.Error("the change that began the batch was told that it was kept")
	}
	wg.Wait()
	for i, err := range errs {
		var kept bool
		if e := s.readers.db.QueryRow(`SELECT count(*) = 1 FROM learner WHERE id = $1`, 1000+i).Scan(&kept); e != nil {
			t.Fatal(e)
		}
		if kept != (err == nil) {
			t.Errorf("change %d: kept %v, told %v", i, kept, err)
		}
	}
	if errs[4] == nil {
		t.Error("the change that lost the transaction was told that it was kept")
	}
	guest(t, s, 1)
}

// TestCancelledBeforeStart: a change whose caller has gone does not happen;
// one that has begun is answered.
func TestCancelledBeforeStart(t *testing.T) {
	s := open(t, t.TempDir())
	release := held(s.writer)
	ctx, cancel := context.WithCancel(context.Background())
	ran := make(chan error)
	go func() {
		_, err := s.NewGuest(ctx, token(1), day0, day0.Add(life))
		ran <- err
	}()
	cancel()
	if err := <-ran; !errors.Is(err, context.Canceled) { // it does not wait for the writer
		t.Errorf("cancelled: %v", err)
	}
	if err := release(); err != nil {
		t.Error(err)
	}
	if _, err := s.NewGuest(ctx, token(2), day0, day0.Add(life)); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled before: %v", err)
	}
	if n := countRows(t, s, "learner"); n != 0 {
		t.Errorf("%d learners", n)
	}
	ctx, cancel = context.WithCancel(context.Background())
	if err := s.write(ctx, "test", func(x *tx) error {
		cancel()
		return x.exec(`INSERT INTO learner (id, created_ms) VALUES (5, 1)`)
	}); err != nil {
		t.Errorf("cancelled while it ran: %v", err)
	}
	if n := countRows(t, s, "learner"); n != 1 {
		t.Errorf("%d learners", n)
	}
}

// TestClosed: what comes after Close gets an error; what was taken before is
// finished.
func TestClosed(t *testing.T) {
	dir := t.TempDir()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	kept := make([]bool, 40)
	begun := make(chan bool, len(kept))
	for i := range kept {
		wg.Go(func() {
			begun <- true
			_, err := s.NewGuest(context.Background(), token(i), day0, day0.Add(life))
			if err != nil && !errors.Is(err, ErrClosed) {
				t.Errorf("guest %d: %v", i, err)
			}
			kept[i] = err == nil
		})
	}
	for range len(kept) / 2 {
		<-begun
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	wg.Wait()
	if _, err := s.NewGuest(t.Context(), token(99), day0, day0.Add(life)); !errors.Is(err, ErrClosed) {
		t.Errorf("after Close: %v", err)
	}
	if _, err := s.Session(t.Context(), token(0), day0); err == nil || errors.Is(err, ErrNotFound) {
		t.Errorf("reading after Close: %v", err)
	}
	if err := s.Ready(t.Context()); err == nil {
		t.Error("ready after Close")
	}
	s = open(t, dir)
	for i, want := range kept {
		_, err := s.Session(t.Context(), token(i), day0)
		if got := err == nil; got != want {
			t.Errorf("guest %d: told %v, stored %v", i, want, got)
		}
	}
}
