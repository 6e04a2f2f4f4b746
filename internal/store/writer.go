package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// maxBatch bounds how many changes share one commit, and so how long the
// first of them waits for the last.
const maxBatch = 256

// writer makes all changes, on one connection and in one goroutine. Changes
// that arrive while others are being committed wait and are then committed
// together: a commit costs one wait for the disk, whether it holds one change
// or a hundred. Each runs in a savepoint of its own, so that one which fails
// leaves the others alone.
type writer struct {
	db      *sql.DB
	tx      *tx
	queue   chan *change // without a buffer: what is taken is answered
	closing chan struct{}
	done    chan struct{}
	once    sync.Once
	err     error // of closing; set before done is closed
}

// change is one caller's transaction.
type change struct {
	do    func(*tx) error
	state atomic.Int32 // waiting, then started or abandoned
	err   chan error   // one answer; buffered
}

const (
	waiting = iota
	started
	abandoned
)

func newWriter(ctx context.Context, db *sql.DB) (*writer, error) {
	conn, err := db.Conn(ctx)
	if err != nil {
		return nil, fmt.Errorf("store: open for writing: %w", err)
	}
	w := &writer{
		db: db, tx: &tx{conn: conn, stmts: map[string]*sql.Stmt{}},
		queue: make(chan *change), closing: make(chan struct{}), done: make(chan struct{}),
	}
	go w.loop()
	return w, nil
}

// run hands do to the writer and returns when it is durable, or failed and
// undone. A caller whose ctx ends before do has started gets ctx's error and
// do never runs; once it runs, run waits for its end.
func (w *writer) run(ctx context.Context, do func(*tx) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	c := &change{do: do, err: make(chan error, 1)}
	select {
	case w.queue <- c:
	case <-ctx.Done():
		return ctx.Err()
	case <-w.closing:
		return ErrClosed
	}
	var err error
	select {
	case err = <-c.err:
	case <-ctx.Done():
		if c.state.CompareAndSwap(waiting, abandoned) {
			return ctx.Err()
		}
		err = <-c.err
	}
	if p := (*panicked)(nil); errors.As(err, &p) {
		panic(fmt.Sprintf("%v\n\nin the writer:\n%s", p.value, p.stack)) // the caller's panic, in the caller's goroutine
	}
	return err
}

// close lets the changes already taken finish and ends the writer.
func (w *writer) close() error {
	w.once.Do(func() { close(w.closing) })
	<-w.done
	return w.err
}

func (w *writer) loop() {
	defer close(w.done)
	for {
		select {
		case c := <-w.queue:
			w.batch(c)
		case <-w.closing:
			w.err = errors.Join(w.tx.close(), w.db.Close())
			return
		}
	}
}

// batch runs first, and all that wait behind it, in one transaction. Nobody is
// answered before it has ended: a refusal too may rest on what another change
// of the batch has written.
func (w *writer) batch(first *change) {
	if err := w.tx.exec(`BEGIN IMMEDIATE`); err != nil {
		first.err <- err
		return
	}
	var ran []*change
	var errs []error
	var lost error
	for c := first; c != nil; c = w.next(len(ran)) {
		if !c.state.CompareAndSwap(waiting, started) {
			continue
		}
		var err error
		err, lost = w.tx.nested(c.do)
		ran, errs = append(ran, c), append(errs, err)
		if lost != nil { // before next: what is taken from the queue is answered
			break
		}
	}
	if lost == nil {
		lost = w.tx.exec(`COMMIT`)
	}
	if lost != nil {
		// Nothing was kept, and nobody is told that it was. The rollback's own
		// error adds nothing: SQLite may have rolled back by itself.
		_ = w.tx.exec(`ROLLBACK`)
	}
	for i, c := range ran {
		c.err <- cmp.Or(lost, errs[i])
	}
}

// next returns a change that waits already, or nil, also when a batch of n is
// full.
func (w *writer) next(n int) *change {
	if n >= maxBatch {
		return nil
	}
	select {
	case c := <-w.queue:
		return c
	default:
		return nil
	}
}

// tx is what a change may use: the writer's connection inside a transaction.
// It must not be kept. Statements are prepared once. No context is passed on:
// an interrupted statement could undo the changes of others.
type tx struct {
	conn  *sql.Conn
	stmts map[string]*sql.Stmt
}

func (t *tx) prepared(query string) (*sql.Stmt, error) {
	if s := t.stmts[query]; s != nil {
		return s, nil
	}
	s, err := t.conn.PrepareContext(context.Background(), query)
	if err == nil {
		t.stmts[query] = s
	}
	return s, err
}

func (t *tx) exec(query string, args ...any) error {
	_, err := t.count(query, args...)
	return err
}

// count runs a statement and returns how many rows it changed.
func (t *tx) count(query string, args ...any) (int64, error) {
	s, err := t.prepared(query)
	if err != nil {
		return 0, err
	}
	r, err := s.ExecContext(context.Background(), args...)
	if err != nil {
		return 0, err
	}
	return r.RowsAffected()
}

// row runs a query for one row; no row is sql.ErrNoRows.
func (t *tx) row(query string, args []any, into ...any) error {
	s, err := t.prepared(query)
	if err != nil {
		return err
	}
	return s.QueryRowContext(context.Background(), args...).Scan(into...)
}

func (t *tx) rows(query string, args ...any) (*sql.Rows, error) {
	s, err := t.prepared(query)
	if err != nil {
		return nil, err
	}
	return s.QueryContext(context.Background(), args...)
}

// nested runs do in a savepoint: all of it is kept or, on its error, none.
// lost is set when the transaction around it is gone with it, as SQLite
// does when the disk is full or broken.
func (t *tx) nested(do func(*tx) error) (err, lost error) {
	if err := t.exec(`SAVEPOINT change`); err != nil {
		return err, err
	}
	if err = guarded(t, do); err != nil {
		lost = t.exec(`ROLLBACK TO change`)
	}
	if lost == nil {
		if e := t.exec(`RELEASE change`); e != nil {
			return errors.Join(err, e), e
		}
	}
	return err, lost
}

// panicked carries a panic from the writer's goroutine to the caller's.
type panicked struct {
	value any
	stack []byte
}

func (p *panicked) Error() string { return fmt.Sprint(p.value) }

// guarded runs do and returns a panic as an error: one caller's mistake must
// not end the writer that all depend on.
func guarded(t *tx, do func(*tx) error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = &panicked{value: v, stack: debug.Stack()}
		}
	}()
	return do(t)
}

func (t *tx) close() error {
	var errs []error
	for _, s := range t.stmts {
		errs = append(errs, s.Close())
	}
	return errors.Join(append(errs, t.conn.Close())...)
}
