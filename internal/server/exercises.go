package server

import (
	"encoding/base32"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"

	"boxwright/internal/api"
	"boxwright/internal/drill"
	"boxwright/internal/store"
)

// maxBody bounds the body of any request.
const maxBody = 2 << 20

// readJSON reads a JSON body within the limits.
func readJSON(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	if t, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || t != jsonType {
		return nil, errMediaType
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBody))
	if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) {
		return nil, api.ErrTooLarge
	} else if err != nil {
		return nil, fmt.Errorf("%w: %w", errBodyCut, err)
	}
	return body, nil
}

// newID returns an id that cannot be guessed: 80 random bits in 16 lower-case
// letters and digits.
func (s *Server) newID() (string, error) {
	var b [10]byte
	if _, err := io.ReadFull(s.Random, b[:]); err != nil {
		return "", fmt.Errorf("server: random: %w", err)
	}
	return strings.ToLower(base32.StdEncoding.EncodeToString(b[:])), nil
}

func (s *Server) newSeed() (uint64, error) {
	var b [8]byte
	if _, err := io.ReadFull(s.Random, b[:]); err != nil {
		return 0, fmt.Errorf("server: random: %w", err)
	}
	return binary.LittleEndian.Uint64(b[:]), nil
}

// issue makes an exercise for a learner and stores it as it is, so that it is
// graded later from the very document that was issued. A nil seed is drawn by
// lot.
func (s *Server) issue(r *http.Request, who store.LearnerID, k drill.Kind, v drill.View, level int, seed *uint64) (*drill.Exercise, error) {
	if seed == nil {
		n, err := s.newSeed()
		if err != nil {
			return nil, err
		}
		seed = &n
	}
	x, err := drill.New(k, v, level, *seed)
	if err != nil {
		return nil, err
	}
	if x.ID, err = s.newID(); err != nil {
		return nil, err
	}
	return x, s.Store.IssueExercise(r.Context(), store.Exercise{
		ID: x.ID, Learner: who, Generator: x.Generator, Kind: string(x.Kind), View: string(x.View), Level: x.Level,
		Seed: x.Seed, Doc: api.EncodeExercise(x, true), Issued: s.Now(),
	})
}

// ownExercise returns who asks and the exercise that the address names, as it
// was issued to them.
func (s *Server) ownExercise(w http.ResponseWriter, r *http.Request) (store.LearnerID, *drill.Exercise, error) {
	who, err := s.known(w, r)
	if err != nil {
		return 0, nil, err
	}
	rec, err := s.Store.Exercise(r.Context(), who, chi.URLParam(r, "id"))
	if err != nil {
		return 0, nil, err
	}
	x, err := decodeIssued(rec.Doc)
	return who, x, err
}

// decodeIssued reads a stored exercise; that it cannot be read is the
// server's fault and not the asker's, so the decoder's error is not passed on
// as such.
func decodeIssued(doc []byte) (*drill.Exercise, error) {
	x, err := api.DecodeExercise(doc)
	if err != nil {
		return nil, fmt.Errorf("server: stored exercise: %v", err)
	}
	return x, nil
}

func (s *Server) postExercise(w http.ResponseWriter, r *http.Request) error {
	body, err := readJSON(w, r)
	if err != nil {
		return err
	}
	k, v, level, seed, err := api.DecodeNewExercise(body)
	if err != nil {
		return err
	}
	who, err := s.learner(w, r)
	if err != nil {
		return err
	}
	x, err := s.issue(r, who, k, v, level, seed)
	if err != nil {
		return err
	}
	w.Header().Set("Location", "/api/v1/exercises/"+x.ID)
	write(w, r, http.StatusCreated, jsonType, api.EncodeExercise(x, false))
	return nil
}

func (s *Server) getExercise(w http.ResponseWriter, r *http.Request) error {
	_, x, err := s.ownExercise(w, r)
	if err != nil {
		return err
	}
	write(w, r, http.StatusOK, jsonType, api.EncodeExercise(x, false))
	return nil
}
