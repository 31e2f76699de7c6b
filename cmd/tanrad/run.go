package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api"
	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/report"
)

// Exit codes.
const (
	exitOK     = 0 // whatever the verdict
	exitBroken = 1 // something outside the input went wrong: a file, a port
	exitInput  = 2 // the input or the command line has faults
	exitFailAt = 3 // the verdict met --fail-at
)

// errFailAt says that the verdict met --fail-at; everything has been told.
var errFailAt = errors.New("the verdict met --fail-at")

// usage marks a mistake on the command line.
type usage struct{ error }

// Run is the whole command: it reads in, writes out and diagnostics, and gives
// the exit code.
func Run(ctx context.Context, args []string, in io.Reader, out, diagnostics io.Writer) int {
	s := &session{in: in, out: out}
	root := s.root()
	root.SetArgs(append([]string{}, args...)) // nil would stand for those of the process
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(diagnostics)
	return s.exit(root.ExecuteContext(ctx), diagnostics)
}

// session is what the subcommands of one run share.
type session struct {
	in    io.Reader
	out   io.Writer
	json  bool
	began bool // a subcommand was found and its flags were good
}

func (s *session) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "tanrad",
		Short: "Tell whether a board glued from several woods will hold",
		Long: `tanrad checks wood movement and glue joints. It says the verdict first: holds,
tight, doubtful or fails, then where, when, how, why and what the answer leans on.

Exit status: 0 whatever the verdict, 2 when the input has faults, 3 when the
verdict meets --fail-at, 1 when something else goes wrong.`,
		Example: `  tanrad check board.json --svg board.svg
  tanrad pair sugar-maple black-walnut --ring-b 90 --from 7.5 --to 10.5
  tanrad move black-cherry "9 1/2 in" --from 45rh@20 --to 65rh@20`,
		SilenceUsage: true, SilenceErrors: true,
		PersistentPreRun: func(*cobra.Command, []string) {
			s.began = true
		},
	}
	root.CompletionOptions.HiddenDefaultCmd = true
	root.PersistentFlags().BoolVar(&s.json, "json", false, "answer with the JSON of the HTTP service")
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return usage{err} })
	root.AddCommand(s.check(), s.advise(), s.improve(), s.windows(), s.plan(), s.drawIn(), s.export(), s.diagnose(), s.pair(), s.move(), s.emc(), s.species(), s.climates(), s.exposures(), s.finishes(), s.adhesives(), s.draw(), s.lesson(), s.serve(), s.work(), s.key(), s.version())
	return root
}

// exit tells what went wrong and picks the code.
func (s *session) exit(err error, diagnostics io.Writer) int {
	var wrongUse usage
	diagnostics = report.Plain(diagnostics)
	list := fault.Of(err)
	switch {
	case err == nil:
		return exitOK
	case errors.Is(err, errFailAt):
		return exitFailAt
	case errors.As(err, &wrongUse) || !s.began:
		fmt.Fprintf(diagnostics, "tanrad: %v\nSee tanrad help.\n", err)
		return exitInput
	case list == nil:
		fmt.Fprintf(diagnostics, "tanrad: %v\n", err)
		return exitBroken
	}
	if s.json {
		if err := s.print(api.ProblemOf(err)); err != nil {
			fmt.Fprintf(diagnostics, "tanrad: %v\n", err)
			return exitBroken
		}
		return exitInput
	}
	var params answer.Parameters
	isFlag := errors.As(err, &params)
	for _, f := range list {
		if isFlag {
			f.Pointer = flagOf(f.Pointer)
		}
		fmt.Fprintf(diagnostics, "tanrad: %v\n", f)
	}
	return exitInput
}

// flagOf names the flag of a parameter.
func flagOf(pointer string) string {
	switch name := strings.TrimPrefix(pointer, "/"); name {
	case "exposures":
		return "--exposure"
	case "exposure": // which one a picture shows
		return "--of"
	case "explain":
		return "--why"
	default:
		return "--" + name
	}
}

// tell writes an answer: as the service's JSON, or as text. An answer that the
// service could not give, because a number in it is none, is an error either way.
func (s *session) tell(v any, text func(io.Writer) error) error {
	body, err := answer.Encode(v)
	if err != nil {
		return err
	}
	if s.json {
		_, err = s.out.Write(body)
		return err
	}
	return text(report.Plain(s.out))
}

func (s *session) print(v any) error {
	body, err := answer.Encode(v)
	if err != nil {
		return err
	}
	_, err = s.out.Write(body)
	return err
}
