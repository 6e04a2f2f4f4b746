package main

import (
	"context"
	"crypto/tls"
	"fmt"
	"io"
	"net"
	"net/http"
	"time"

	"boxwright/internal/store"
)

func backup(ctx context.Context, args []string, _ io.Reader, out, errs io.Writer) error {
	f := flags("backup", "[-data DIR] FILE", errs)
	data := dataFlag(f)
	if err := parse(f, args, 1, 1); err != nil {
		return err
	}
	st, err := store.OpenExisting(ctx, *data)
	if err != nil {
		return err
	}
	defer st.Close()
	if err := st.Backup(ctx, f.Arg(0)); err != nil {
		return err
	}
	fmt.Fprintf(out, "%s holds a consistent copy; to use it, put it into an empty data folder under the name %s\n", f.Arg(0), store.FileName)
	return nil
}

func check(ctx context.Context, args []string, _ io.Reader, out, errs io.Writer) error {
	f := flags("check", "[-data DIR]", errs)
	data := dataFlag(f)
	if err := parse(f, args, 0, 0); err != nil {
		return err
	}
	st, err := store.OpenExisting(ctx, *data)
	if err != nil {
		return err
	}
	defer st.Close()
	problems, err := st.Check(ctx)
	if err != nil {
		return err
	}
	for _, p := range problems {
		fmt.Fprintln(errs, p)
	}
	if len(problems) > 0 {
		return errInput
	}
	fmt.Fprintln(out, "the data are sound")
	return nil
}

// health asks the server at addr whether it is ready: for containers, which
// have no other program to ask with.
func health(ctx context.Context, args []string, _ io.Reader, out, errs io.Writer) error {
	f := flags("health", "[-addr HOST:PORT] [-tls]", errs)
	addr := f.String("addr", "127.0.0.1:8080", "the server's `address`")
	tlsToo := f.Bool("tls", false, "the server speaks HTTPS itself")
	if err := parse(f, args, 0, 0); err != nil {
		return err
	}
	host, port, err := net.SplitHostPort(*addr)
	if err != nil {
		fmt.Fprintf(errs, "boxwright health: %v\n", err)
		return errUsage
	}
	if host == "" || host == "0.0.0.0" || host == "::" {
		host = "127.0.0.1"
	}
	ctx, cancel := context.WithTimeout(ctx, 5*time.Second)
	defer cancel()
	scheme := "http"
	if *tlsToo {
		scheme = "https"
	}
	// The question stays on this machine, where the certificate's name does
	// not hold, and its answer is no secret.
	client := http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, scheme+"://"+net.JoinHostPort(host, port)+"/readyz", nil)
	if err != nil {
		return err
	}
	res, err := client.Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusOK {
		return fmt.Errorf("not ready: %s", res.Status)
	}
	fmt.Fprintln(out, "ready")
	return nil
}
