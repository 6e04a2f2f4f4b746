package store

import (
	"context"
	"database/sql"
	"fmt"
	"runtime"
	"sync"
)

// pool is the connections that read; any number of them read while one
// writes. Statements are prepared once per connection.
type pool struct {
	db    *sql.DB
	stmts sync.Map // query -> *sql.Stmt
}

func newPool(dsn string) (*pool, error) {
	db, err := sql.Open("sqlite", dsn)
	if err != nil {
		return nil, fmt.Errorf("store: open: %w", err)
	}
	n := max(4, runtime.GOMAXPROCS(0))
	db.SetMaxOpenConns(n)
	db.SetMaxIdleConns(n)
	return &pool{db: db}, nil
}

func (p *pool) prepared(ctx context.Context, query string) (*sql.Stmt, error) {
	if s, ok := p.stmts.Load(query); ok {
		return s.(*sql.Stmt), nil
	}
	s, err := p.db.PrepareContext(ctx, query)
	if err != nil {
		return nil, err
	}
	if first, loaded := p.stmts.LoadOrStore(query, s); loaded {
		return first.(*sql.Stmt), s.Close()
	}
	return s, nil
}

// row runs a query for one row; no row is sql.ErrNoRows.
func (p *pool) row(ctx context.Context, query string, args []any, into ...any) error {
	s, err := p.prepared(ctx, query)
	if err != nil {
		return err
	}
	return s.QueryRowContext(ctx, args...).Scan(into...)
}

// snapshot runs read in a transaction: all of its queries see the data at one
// moment.
func (p *pool) snapshot(ctx context.Context, read func(*snapshot) error) error {
	t, err := p.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return err
	}
	defer t.Rollback() // it has read only: there is nothing to commit
	return read(&snapshot{ctx: ctx, pool: p, tx: t})
}

// snapshot is what several queries of one reading transaction use.
type snapshot struct {
	ctx  context.Context
	pool *pool
	tx   *sql.Tx
}

func (s *snapshot) row(query string, args []any, into ...any) error {
	p, err := s.pool.prepared(s.ctx, query)
	if err != nil {
		return err
	}
	return s.tx.StmtContext(s.ctx, p).QueryRowContext(s.ctx, args...).Scan(into...)
}

func (s *snapshot) rows(query string, args ...any) (*sql.Rows, error) {
	p, err := s.pool.prepared(s.ctx, query)
	if err != nil {
		return nil, err
	}
	return s.tx.StmtContext(s.ctx, p).QueryContext(s.ctx, args...)
}

func (p *pool) close() error { return p.db.Close() } // closes the statements too
