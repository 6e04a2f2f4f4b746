package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"time"
	_ "time/tzdata" // learners' days are in their own zone, also where the system has no zone files

	"boxwright/internal/server"
	"boxwright/internal/store"
)

// drainTime is how long a stopping server waits for requests under way.
const drainTime = 20 * time.Second

func serve(ctx context.Context, args []string, _ io.Reader, out, errs io.Writer) error {
	f := flags("serve", "[flags]", errs)
	addr := f.String("addr", "127.0.0.1:8080", "the `address` to listen on")
	data := dataFlag(f)
	cert := f.String("tls-cert", "", "TLS certificate `file` (PEM); with -tls-key the server speaks HTTPS")
	key := f.String("tls-key", "", "TLS key `file` (PEM)")
	behind := f.Bool("behind-tls", false, "people reach the server over HTTPS through a proxy: cookies are marked for it")
	if err := parse(f, args, 0, 0); err != nil {
		return err
	}
	if (*cert == "") != (*key == "") {
		fmt.Fprintln(errs, "boxwright serve: -tls-cert and -tls-key go together")
		return errUsage
	}
	st, err := store.Open(ctx, *data)
	if err != nil {
		return err
	}
	defer st.Close()
	log := slog.New(slog.NewJSONHandler(errs, nil))
	srv, err := server.New(server.Config{Store: st, Log: log, Now: time.Now, HTTPS: *behind || *cert != ""})
	if err != nil {
		return err
	}
	ln, err := net.Listen("tcp", *addr)
	if err != nil {
		return err
	}
	scheme := "http"
	if *cert != "" {
		scheme = "https"
	}
	tidy, stop := context.WithCancel(ctx)
	defer stop()
	go srv.Tidy(tidy)
	fmt.Fprintf(out, "Boxwright is ready at %s\n", address(scheme, ln.Addr()))
	return listen(ctx, srv.HTTP(), ln, *cert, *key)
}

// address is where a browser on this machine finds the server. One that
// listens on every address has none of its own to show.
func address(scheme string, a net.Addr) string {
	host, port, err := net.SplitHostPort(a.String())
	if err != nil {
		return scheme + "://" + a.String() + "/"
	}
	if net.ParseIP(host).IsUnspecified() {
		host = "localhost"
	}
	return scheme + "://" + net.JoinHostPort(host, port) + "/"
}

// listen serves until ctx ends, then lets requests under way finish.
func listen(ctx context.Context, h *http.Server, ln net.Listener, cert, key string) error {
	done := make(chan error, 1)
	go func() {
		if cert != "" {
			done <- h.ServeTLS(ln, cert, key)
		} else {
			done <- h.Serve(ln)
		}
	}()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	drain, cancel := context.WithTimeout(context.Background(), drainTime)
	defer cancel()
	if err := h.Shutdown(drain); err != nil {
		return fmt.Errorf("draining: %w", err)
	}
	if err := <-done; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}
