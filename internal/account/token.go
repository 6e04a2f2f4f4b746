// Package account knows who may act: session tokens as values.
package account

import (
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
)

// tokenBytes is the size of a token: 256 random bits, far beyond guessing,
// so that a plain hash of it may be kept (no salt, no slow hash).
const tokenBytes = 32

// Token is the secret that a session's cookie holds. The server keeps only
// its Hash.
type Token [tokenBytes]byte

// ErrToken is returned for text that is no token.
var ErrToken = errors.New("account: not a token")

// encoding uses only letters, digits, '-' and '_', all of which a cookie may
// hold unquoted. Strict: one token has one spelling.
var encoding = base64.RawURLEncoding.Strict()

// NewToken makes a token from random, which must be a cryptographic source.
func NewToken(random io.Reader) (Token, error) {
	var t Token
	if _, err := io.ReadFull(random, t[:]); err != nil {
		return Token{}, fmt.Errorf("account: random: %w", err)
	}
	return t, nil
}

// ParseToken reads a token from a cookie's value. Any other text is
// ErrToken, which never repeats the text.
func ParseToken(s string) (Token, error) {
	var t Token
	// The length is checked first: Decode skips line breaks, which no cookie
	// of ours holds, and would write past a shorter buffer.
	if len(s) != encoding.EncodedLen(tokenBytes) {
		return Token{}, ErrToken
	}
	if n, err := encoding.Decode(t[:], []byte(s)); err != nil || n != tokenBytes {
		return Token{}, ErrToken
	}
	return t, nil
}

// String returns the token for a cookie's value. It is a secret: it belongs
// in no log.
func (t Token) String() string { return encoding.EncodeToString(t[:]) }

// Hash returns the token's SHA-256, by which its session is found.
func (t Token) Hash() []byte {
	h := sha256.Sum256(t[:])
	return h[:]
}
