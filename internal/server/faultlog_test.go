package server

import (
	"io"
	"log/slog"
	"net"
	"net/http/httptest"
	"strings"
	"testing"
)

// TestFaultLogHoldsNoAddress speaks plain HTTP to a server on TLS, a fault
// that net/http reports by itself.
func TestFaultLogHoldsNoAddress(t *testing.T) {
	for _, listen := range []string{"127.0.0.1:0", "[::1]:0"} {
		b := newBench(t, nil)
		ln, err := net.Listen("tcp", listen)
		if err != nil {
			t.Logf("not tried on %s: %v", listen, err)
			continue
		}
		h := httptest.NewUnstartedServer(b.srv)
		h.Listener.Close()
		h.Listener, h.Config = ln, b.srv.HTTP()
		h.StartTLS()
		conn, err := net.Dial("tcp", ln.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(conn, "GET / HTTP/1.1\r\nHost: x\r\n\r\n")
		io.Copy(io.Discard, conn)
		from := conn.LocalAddr().String()
		conn.Close()
		h.Close() // waits for the connection, and so for its line in the log
		log := b.log.String()
		if !strings.Contains(log, "TLS handshake error from a client: ") {
			t.Errorf("the log does not tell of the fault: %q", log)
		}
		host, _, _ := net.SplitHostPort(from)
		if strings.Contains(log, host) {
			t.Errorf("the log holds %s: %q", host, log)
		}
	}
}

// TestFaultLogKeepsTheRest: what is no address stays as it was said.
func TestFaultLogKeepsTheRest(t *testing.T) {
	for in, want := range map[string]string{
		"http: Accept error: accept tcp [::]:8080: too many open files; retrying in 5ms": "http: Accept error: accept tcp a client: too many open files; retrying in 5ms",
		"http: TLS handshake error from [fe80::1%eth0]:55123: EOF":                       "http: TLS handshake error from a client: EOF",
		"http: superfluous response.WriteHeader call from main.go:12":                    "http: superfluous response.WriteHeader call from main.go:12",
	} {
		var log lockedBuffer
		newFaultLog(slog.New(slog.NewTextHandler(&log, nil))).Print(in)
		if !strings.Contains(log.String(), `msg="`+want+`"`) || !strings.Contains(log.String(), "level=WARN") {
			t.Errorf("%q became %q", in, log.String())
		}
	}
}
