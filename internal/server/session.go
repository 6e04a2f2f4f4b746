package server

import (
	"errors"
	"net/http"
	"time"

	"boxwright/internal/account"
	"boxwright/internal/store"
)

// A guest's cookie lives this long after the last visit; it is renewed at
// most once a day, so that reading pages does not write to the database.
const (
	cookieLife  = 400 * 24 * time.Hour
	renewAfter  = 24 * time.Hour
	plainCookie = "boxwright"
	hostCookie  = "__Host-boxwright" // browsers accept this prefix on TLS only
)

func (s *Server) cookieName() string {
	if s.HTTPS {
		return hostCookie
	}
	return plainCookie
}

// known returns the learner that the request's cookie names; without one it
// is errNotFound, for whoever is new owns nothing that could be asked for by
// its id, and whoever only tries ids is no guest.
func (s *Server) known(w http.ResponseWriter, r *http.Request) (store.LearnerID, error) {
	c, err := r.Cookie(s.cookieName())
	if err != nil {
		return 0, errNotFound
	}
	token, err := account.ParseToken(c.Value)
	if err != nil {
		return 0, errNotFound
	}
	now := s.Now()
	ses, err := s.Store.Session(r.Context(), token.Hash(), now)
	if err != nil {
		return 0, err // store.ErrNotFound where the cookie has run out
	}
	return ses.Learner, s.renew(w, r, token, ses, now)
}

// learner returns who asks: the learner that the request's cookie names, or a
// new guest, whose cookie is then set on the answer.
func (s *Server) learner(w http.ResponseWriter, r *http.Request) (store.LearnerID, error) {
	id, err := s.known(w, r)
	if err == nil || !errors.Is(err, errNotFound) && !errors.Is(err, store.ErrNotFound) {
		return id, err
	}
	token, err := account.NewToken(s.Random)
	if err != nil {
		return 0, err
	}
	now := s.Now()
	if id, err = s.Store.NewGuest(r.Context(), token.Hash(), now, now.Add(cookieLife)); err != nil {
		return 0, err
	}
	s.setCookie(w, token)
	return id, nil
}

func (s *Server) renew(w http.ResponseWriter, r *http.Request, t account.Token, ses store.Session, now time.Time) error {
	if now.Sub(ses.Seen) < renewAfter {
		return nil
	}
	if err := s.Store.Renew(r.Context(), t.Hash(), now, now.Add(cookieLife)); err != nil {
		return err
	}
	s.setCookie(w, t)
	return nil
}

func (s *Server) setCookie(w http.ResponseWriter, t account.Token) {
	http.SetCookie(w, &http.Cookie{
		Name: s.cookieName(), Value: t.String(), Path: "/", MaxAge: int(cookieLife / time.Second),
		HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: s.HTTPS,
	})
}

// zone returns the learner's time zone, which the page's script leaves in a
// cookie; without one, or with one that is unknown, days are counted in UTC.
func zone(r *http.Request) *time.Location {
	c, err := r.Cookie("tz")
	if err != nil || len(c.Value) > 64 {
		return time.UTC
	}
	loc, err := time.LoadLocation(c.Value)
	if err != nil || c.Value == "Local" {
		return time.UTC
	}
	return loc
}
