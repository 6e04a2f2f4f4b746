package store

import (
	"context"
	"testing"
)

func TestSmoke(t *testing.T) {
	dir := t.TempDir()
	s, err := Open(context.Background(), dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Ready(context.Background()); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(context.Background(), dir); err == nil {
		t.Fatal("second open")
	} else {
		t.Log(err)
	}
	e, err := OpenExisting(context.Background(), dir)
	if err != nil {
		t.Fatal(err)
	}
	p, err := e.Check(context.Background())
	t.Log(p, err)
	if err := e.Backup(context.Background(), dir+"/b.db"); err != nil {
		t.Fatal(err)
	}
	if err := e.Close(); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s, err = Open(context.Background(), dir)
	if err != nil {
		t.Fatal(err)
	}
	s.Close()
}
