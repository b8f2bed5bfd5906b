package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
)

// run is the whole program: it runs the command that args name and returns the
// exit code. Results are buffered, and a failure to write them is told.
func run(s *streams, args []string) int {
	sink := &keeper{w: s.out}
	out := bufio.NewWriter(sink)
	inner := *s
	inner.out = out
	root := newRootCommand(&inner)
	root.SetArgs(args)
	cmd, err := root.ExecuteC()
	_ = out.Flush() // the sink keeps its error
	if sink.err != nil {
		err = failf(exitFailed, "the result could not be written: %w", reason(sink.err))
	}
	if err == nil {
		return exitOK
	}
	return complain(s, classify(err), helpOf(cmd))
}

// keeper passes on what is written and keeps the first error.
type keeper struct {
	w   io.Writer
	err error
}

func (f *keeper) Write(p []byte) (int, error) {
	n, err := f.w.Write(p)
	if err != nil && f.err == nil {
		f.err = err
	}
	return n, err
}

// classify gives cobra's own errors, which only arise from the command line,
// the exit code of usage errors.
func classify(err error) error {
	var f *failure
	if errors.As(err, &f) {
		return err
	}
	if strings.HasPrefix(err.Error(), "unknown command") {
		message, similar, _ := strings.Cut(err.Error(), "\n\nDid you mean this?\n")
		f := &failure{code: exitUsage, err: errors.New(message)}
		if words := strings.Fields(similar); len(words) > 0 {
			f.hint = "did you mean " + strings.Join(words, " or ") + "?"
		}
		return f
	}
	return err
}

// helpOf says which command shows how a command is called.
func helpOf(cmd *cobra.Command) string {
	if cmd == nil || cmd.HasSubCommands() {
		return `"pourweek --help" lists the commands`
	}
	return fmt.Sprintf("%q shows how it is called", cmd.CommandPath()+" --help")
}

func newRootCommand(s *streams) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "pourweek",
		Short: "Plan the week of a small concrete shop",
		Long: `pourweek plans the week of a shop that sprays and casts glass-fiber-reinforced
concrete: which mold is poured when, which pours share a batch, who does it,
when each piece is stripped, where it rests, and what leaves late.

` + exitCodes,
		Example: `  pourweek plan --demo
  pourweek start my-shop
  pourweek plan my-shop --out week.json`,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.SetIn(s.in)
	cmd.SetOut(s.out)
	cmd.SetErr(s.err)
	cmd.CompletionOptions.DisableDefaultCmd = true
	cobra.EnableCommandSorting = false // the order of a shop's first hour
	cmd.SetFlagErrorFunc(func(_ *cobra.Command, err error) error {
		return &failure{code: exitUsage, err: flagError(err)}
	})
	cmd.AddCommand(newStartCommand(s), newCheckCommand(s), newPlanCommand(s), newShowCommand(s), newProblemCommand(s), newSolveCommand(s), newVerifyCommand(s),
		newLogCommand(s), newReplanCommand(s), newCompareCommand(s), newWhyCommand(s))
	return cmd
}

// exactly is cobra.ExactArgs in words: names are the arguments that must stand
// there.
func exactly(names ...string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		switch {
		case len(args) < len(names):
			return failf(exitUsage, "%s is missing", names[len(args)])
		case len(args) > len(names):
			return failf(exitUsage, "%q is one argument too many", args[len(names)])
		}
		return nil
	}
}

// atMostOne allows one argument or none.
func atMostOne(_ *cobra.Command, args []string) error {
	if len(args) > 1 {
		return failf(exitUsage, "%q is one argument too many", args[1])
	}
	return nil
}

// facts writes names with what there is to say about each: in line on a
// terminal, separated by tabs in a pipe.
func facts(s *streams, cells ...[]string) {
	if !s.outTerm {
		rows(s.out, cells...)
		return
	}
	name := 0
	for _, r := range cells {
		name = max(name, len(r[0]))
	}
	for _, r := range cells {
		fmt.Fprintf(s.out, "%-*s  %s\n", name, r[0], strings.Join(r[1:], "  "))
	}
}

// rows writes rows of cells separated by tabs.
func rows(w io.Writer, cells ...[]string) {
	for _, r := range cells {
		fmt.Fprintln(w, strings.Join(r, "\t"))
	}
}
