package account

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"net/http"
	"strings"
	"testing"
	"testing/iotest"

	"pgregory.net/rapid"
)

func TestTokenGoesThroughACookie(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.SliceOfN(rapid.Byte(), tokenBytes, tokenBytes).Draw(t, "random")
		token, err := NewToken(bytes.NewReader(seed))
		if err != nil || !bytes.Equal(token[:], seed) {
			t.Fatalf("%x, %v", token, err)
		}
		sent := (&http.Cookie{Name: "c", Value: token.String()}).String()
		got, err := http.ParseSetCookie(sent)
		if err != nil || got.Value != token.String() || got.Quoted {
			t.Fatalf("%q came back as %+v, %v", token.String(), got, err)
		}
		back, err := ParseToken(got.Value)
		if err != nil || back != token {
			t.Fatalf("%x, %v", back, err)
		}
	})
}

// TestHash compares with the published digest of 32 zero bytes under SHA-256
// (recalled; crypto/sha256 agrees).
func TestHash(t *testing.T) {
	const want = "66687aadf862bd776c8fc18b8e9f8e20089714856ee233b3902a591d0d5f2925"
	if got := hex.EncodeToString(Token{}.Hash()); got != want {
		t.Errorf("%s", got)
	}
	a, b := Token{1}, Token{2}
	if bytes.Equal(a.Hash(), b.Hash()) || len(a.Hash()) != sha256.Size {
		t.Error("hashes")
	}
}

func TestParseTokenRefuses(t *testing.T) {
	good := Token{1, 2, 3}.String()
	for _, s := range []string{
		"", good[:len(good)-1], good + "A", good + "=", " " + good[1:], "+" + good[1:], "/" + good[1:],
		good[:10] + "\n" + good[11:], good[:len(good)-1] + "\x00", strings.Repeat("ä", len(good)/2) + "A",
		good[:len(good)-1] + "B", // bits beyond the last byte: a second spelling
	} {
		if token, err := ParseToken(s); !errors.Is(err, ErrToken) || token != (Token{}) {
			t.Errorf("%q: %x, %v", s, token, err)
		}
	}
}

func TestNewTokenNeedsRandomness(t *testing.T) {
	for name, r := range map[string]io.Reader{"short": strings.NewReader("too little"), "broken": iotest.ErrReader(errors.New("no noise"))} {
		if token, err := NewToken(r); err == nil || token != (Token{}) {
			t.Errorf("%s: %x, %v", name, token, err)
		}
	}
}

func FuzzParseToken(f *testing.F) {
	f.Add(Token{}.String())
	f.Add("")
	f.Fuzz(func(t *testing.T, s string) {
		token, err := ParseToken(s)
		if err == nil && token.String() != s {
			t.Errorf("%q is read as %q", s, token)
		}
		if err != nil && token != (Token{}) {
			t.Errorf("%q: an error and a token", s)
		}
	})
}
