package server

import (
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"sync"

	"github.com/go-chi/chi/v5"

	"boxwright/internal/drill"
	"boxwright/internal/guide"
	"boxwright/internal/page"
	"boxwright/internal/sheet"
)

// guidesLevel is the level of the sheets on the page of all guides, and of a
// sample for which none is named.
const guidesLevel = 3

// guideSeed is the seed of a drill's n-th sample sheet. Practice draws its
// seeds by lot from all 64-bit numbers, samples take theirs from a hash, so
// that no guide shows what is still to be drawn.
func guideSeed(n uint64) uint64 {
	h := sha256.Sum256(append([]byte("guide"), strconv.FormatUint(n, 10)...))
	return binary.LittleEndian.Uint64(h[:])
}

// guided is a sheet with its construction.
type guided struct {
	x     *drill.Exercise
	steps []guide.Step
	place page.GuidePlace
	held  bool // not handed in yet: its construction is withheld
}

// guided returns what the address names: a drill's sample sheet, or a sheet of
// the asker's own.
func (s *Server) guided(w http.ResponseWriter, r *http.Request) (g guided, err error) {
	id := chi.URLParam(r, "id")
	g.place = page.GuidePlace{Path: "/guides/" + id}
	if drill.Views(drill.Kind(id)) != nil {
		err = g.sample(drill.Kind(id), r.URL.Query())
	} else {
		err = s.ownGuided(w, r, &g)
	}
	if err != nil || g.held {
		return g, err
	}
	g.steps, err = guide.Of(g.x)
	if errors.Is(err, guide.ErrKind) {
		return g, errNotFound
	}
	return g, err
}

func (s *Server) ownGuided(w http.ResponseWriter, r *http.Request, g *guided) error {
	who, x, err := s.ownExercise(w, r)
	if err != nil {
		return err
	}
	g.x = x
	in, err := s.Store.HandedIn(r.Context(), who, x.ID)
	g.held = !in
	return err
}

// sample makes a drill's n-th sample sheet in a view and at a level. What the
// query leaves out is the first view, guidesLevel and the first sheet.
func (g *guided) sample(k drill.Kind, q url.Values) error {
	view, level, n := drill.Views(k)[0], guidesLevel, uint64(1)
	if v := q.Get("view"); v != "" {
		view = drill.View(v)
	}
	var err error
	if l := q.Get("level"); l != "" {
		if level, err = strconv.Atoi(l); err != nil {
			return fmt.Errorf("%w: a level is a whole number from %d to %d", drill.ErrLevel, drill.MinLevel, drill.MaxLevel)
		}
	}
	if v := q.Get("n"); v != "" {
		if n, err = strconv.ParseUint(v, 10, 32); err != nil {
			return errNotFound
		}
	}
	if g.x, err = drill.New(k, view, level, guideSeed(n)); err != nil {
		return err
	}
	choice := "view=" + string(view) + "&level=" + strconv.Itoa(level) + "&n="
	g.place.Query = choice + strconv.FormatUint(n, 10)
	g.place.Further = choice + strconv.FormatUint(n+1, 10)
	return nil
}

// getGuide shows a construction step by step. That of a sheet not handed in
// yet would tell its answers: then the page says when it is shown.
func (s *Server) getGuide(w http.ResponseWriter, r *http.Request) error {
	g, err := s.guided(w, r)
	if err != nil {
		return err
	}
	if g.held {
		return writePage(w, r, page.WithheldPage(s.frame, page.NewWithheld(g.x)))
	}
	q := r.URL.Query()
	if n, err := strconv.Atoi(q.Get("step")); err == nil {
		g.place.Step = n
	}
	g.place.Wall, g.place.Black = q.Get("wall") == "1", q.Get("black") == "1"
	panels := make([]string, len(g.steps))
	for i := range panels {
		panels[i] = sheet.Panel(sheet.Guide(g.x, g.steps, i+1))
	}
	m := page.NewGuide(g.x, g.steps, sheet.GuideSteps(g.x, g.steps).SVG(), panels, g.place)
	return writePage(w, r, page.GuidePage(s.frame, m))
}

// getGuidePDF answers with the strip of all steps.
func (s *Server) getGuidePDF(w http.ResponseWriter, r *http.Request) error {
	g, err := s.guided(w, r)
	if err != nil {
		return err
	}
	if g.held {
		return errNotFound
	}
	b, err := sheet.GuidePDF(g.x, g.steps, page.GuideName(g.x))
	if err != nil {
		return fmt.Errorf("server: %w", err)
	}
	w.Header().Set("Content-Disposition", `inline; filename="boxwright-guide-`+chi.URLParam(r, "id")+`.pdf"`)
	write(w, r, http.StatusOK, pdfType, b)
	return nil
}

// guideSamples are the pictures of the page of all guides: always the same, so
// drawn once.
var guideSamples = sync.OnceValues(func() ([]page.Sample, error) {
	var samples []page.Sample
	for _, k := range drill.Kinds {
		if !guide.Has(k) {
			continue
		}
		for _, v := range drill.Views(k) {
			x, err := drill.New(k, v, guidesLevel, guideSeed(1))
			if err != nil {
				return nil, err
			}
			steps, err := guide.Of(x)
			if err != nil {
				return nil, err
			}
			picture := sheet.Thumb(sheet.Guide(x, steps, len(steps)))
			samples = append(samples, page.Sample{Kind: k, View: v, Level: guidesLevel, Picture: picture})
		}
	}
	return samples, nil
})

func (s *Server) getGuides(w http.ResponseWriter, r *http.Request) error {
	samples, err := guideSamples()
	if err != nil {
		return err
	}
	return writePage(w, r, page.GuidesPage(s.frame, page.NewGuides(samples)))
}
