package main

import (
	"bufio"
	"context"
	"crypto/rand"
	"encoding/binary"
	"flag"
	"fmt"
	"io"
	"strconv"

	"boxwright/internal/api"
	"boxwright/internal/drill"
	"boxwright/internal/sheet"
)

// choice is what says which exercise is wanted.
type choice struct {
	drill, view, seed *string
	level             *int
}

func choiceFlags(f *flag.FlagSet) choice {
	return choice{
		drill: f.String("drill", "finish", "the `drill`: join or finish"),
		view:  f.String("view", "", "the `view`: one, two or three; none for join"),
		level: f.Int("level", 1, "the `level`, 1 to 10"),
		seed:  f.String("seed", "", "the `seed`, a whole number; one is drawn by lot when it is left out"),
	}
}

// first returns the seed asked for, or one drawn by lot.
func (c choice) first() (uint64, error) {
	if *c.seed != "" {
		s, err := strconv.ParseUint(*c.seed, 10, 64)
		if err != nil {
			return 0, fmt.Errorf("-seed must be a whole number from 0 to %d", uint64(1<<64-1))
		}
		return s, nil
	}
	var b [8]byte
	if _, err := rand.Read(b[:]); err != nil {
		return 0, err
	}
	return binary.LittleEndian.Uint64(b[:]), nil
}

// make makes the exercise with the given seed and an id that says what it is.
func (c choice) make(seed uint64) (*drill.Exercise, error) {
	kind, view := drill.Kind(*c.drill), drill.View(*c.view)
	if view == "" && kind == drill.Join {
		view = drill.None
	}
	x, err := drill.New(kind, view, *c.level, seed)
	if err != nil {
		return nil, err
	}
	x.ID = fmt.Sprintf("%s-%s-%d-%d", x.Kind, x.View, x.Level, x.Seed)
	return x, nil
}

func exercise(ctx context.Context, args []string, _ io.Reader, out, errs io.Writer) error {
	f := flags("exercise", "-drill D -view V -level N [-seed S] [-count N]", errs)
	c := choiceFlags(f)
	count := f.Int("count", 1, "how `many`; seeds count up from the first")
	if err := parse(f, args, 0, 0); err != nil {
		return err
	}
	seed, err := c.first()
	if err == nil && *count < 1 {
		err = fmt.Errorf("-count must be at least 1")
	}
	w := bufio.NewWriter(out)
	defer w.Flush()
	for i := 0; err == nil && i < *count; i++ {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		var x *drill.Exercise
		if x, err = c.make(seed + uint64(i)); err == nil {
			w.Write(api.EncodeExercise(x, true))
			w.WriteByte('\n')
		}
	}
	if err != nil {
		fmt.Fprintf(errs, "boxwright exercise: %v\n", err)
		return errUsage
	}
	return w.Flush()
}

func sheetFile(_ context.Context, args []string, _ io.Reader, out, errs io.Writer) error {
	f := flags("sheet", "-drill D -view V -level N [-seed S] [-pdf]", errs)
	c := choiceFlags(f)
	pdf := f.Bool("pdf", false, "write a PDF at true size instead of an SVG")
	if err := parse(f, args, 0, 0); err != nil {
		return err
	}
	seed, err := c.first()
	if err != nil {
		fmt.Fprintf(errs, "boxwright sheet: %v\n", err)
		return errUsage
	}
	x, err := c.make(seed)
	if err != nil {
		fmt.Fprintf(errs, "boxwright sheet: %v\n", err)
		return errUsage
	}
	d := sheet.Exercise(x)
	if !*pdf {
		_, err = io.WriteString(out, d.SVG())
		return err
	}
	b, err := sheet.PDF(d, x.ID)
	if err != nil {
		return err
	}
	_, err = out.Write(b)
	return err
}
