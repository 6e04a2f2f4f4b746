package server

import (
	"bytes"
	"log"
	"log/slog"
	"regexp"
)

// address matches the network addresses in net/http's own messages, such as
// that of a failed handshake: they say who asked, and nothing here may.
var address = regexp.MustCompile(`(?:\[[0-9A-Za-z:.%]+\]|\d{1,3}(?:\.\d{1,3}){3}):\d+`)

// faultLog takes net/http's messages into the log, without addresses.
type faultLog struct{ log *slog.Logger }

func newFaultLog(l *slog.Logger) *log.Logger { return log.New(faultLog{l}, "", 0) }

func (f faultLog) Write(line []byte) (int, error) {
	f.log.Warn(string(address.ReplaceAll(bytes.TrimSpace(line), []byte("a client"))))
	return len(line), nil
}
