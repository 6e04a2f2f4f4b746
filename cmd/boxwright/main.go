// Command boxwright serves, makes and grades perspective exercises.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
)

// A command runs one subcommand. It returns errUsage for wrong usage and
// errInput when some input was bad and the rest was done; both have been
// explained on errs already.
type command struct {
	name, args, what string
	run              func(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) error
}

var (
	errUsage = errors.New("wrong usage")
	errInput = errors.New("some input was bad")
)

func commands() []command {
	return []command{
		{"serve", "[-addr HOST:PORT] [-data DIR]", "the server", serve},
		{"exercise", "-drill D -view V -level N [-seed S] [-count N]", "exercise documents with answers, one a line", exercise},
		{"grade", "[FILE]", "grades lines of exercise and attempt, one grade a line", gradeLines},
		{"assess", "[-json] [FILE]", "how true the grades are of drawings whose truth is known", assessLines},
		{"sheet", "-drill D -view V -level N [-seed S] [-pdf]", "a sheet as SVG or PDF", sheetFile},
		{"backup", "[-data DIR] FILE", "a consistent copy while the server runs", backup},
		{"check", "[-data DIR]", "tests the integrity of the data", check},
		{"health", "[-addr HOST:PORT] [-tls]", "asks a running server whether it is ready", health},
	}
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run returns the exit status: 0 done, 1 failed or some input was bad, 2
// wrong usage.
func run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) int {
	if len(args) == 0 {
		usage(errs)
		return 2
	}
	switch args[0] {
	case "help", "-h", "-help", "--help":
		usage(out)
		return 0
	}
	for _, c := range commands() {
		if c.name != args[0] {
			continue
		}
		switch err := c.run(ctx, args[1:], in, out, errs); {
		case err == nil || errors.Is(err, flag.ErrHelp):
			return 0
		case errors.Is(err, errUsage):
			return 2
		case errors.Is(err, errInput):
			return 1
		default:
			fmt.Fprintf(errs, "boxwright %s: %v\n", c.name, err)
			return 1
		}
	}
	fmt.Fprintf(errs, "boxwright: there is no command %q\n", args[0])
	usage(errs)
	return 2
}

func usage(w io.Writer) {
	fmt.Fprintln(w, "usage: boxwright COMMAND [ARGUMENTS]")
	for _, c := range commands() {
		fmt.Fprintf(w, "  %-9s %-52s %s\n", c.name, c.args, c.what)
	}
}

// flags makes the flag set of a subcommand; parse reports every fault on
// errs and turns it into errUsage.
func flags(name, args string, errs io.Writer) *flag.FlagSet {
	f := flag.NewFlagSet(name, flag.ContinueOnError)
	f.SetOutput(errs)
	f.Usage = func() {
		fmt.Fprintf(errs, "usage: boxwright %s %s\n", name, args)
		f.PrintDefaults()
	}
	return f
}

// parse parses args and checks that at most most positional arguments are
// left.
func parse(f *flag.FlagSet, args []string, least, most int) error {
	if err := f.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return err
		}
		return errUsage
	}
	if n := f.NArg(); n < least || n > most {
		fmt.Fprintf(f.Output(), "boxwright %s: too %s arguments\n", f.Name(), map[bool]string{true: "few", false: "many"}[n < least])
		f.Usage()
		return errUsage
	}
	return nil
}

// dataFlag adds -data, the folder that holds everything the server keeps.
func dataFlag(f *flag.FlagSet) *string {
	return f.String("data", "boxwright-data", "the `folder` that holds everything the server keeps")
}
