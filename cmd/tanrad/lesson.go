package main

import (
	"fmt"
	"io"
	"os"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"github.com/tanrad/tanrad/api/answer"
	"github.com/tanrad/tanrad/pkg/teach"
)

func (s *session) lesson() *cobra.Command {
	var handout string
	c := &cobra.Command{
		Use:   "lesson [NAME]",
		Short: "List the lessons for a class, or work one out",
		Example: `  tanrad lesson
  tanrad lesson square-goes-diamond --handout diamond.html`,
		Args: arguments(0, 1),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				if handout != "" {
					return usage{fmt.Errorf("--handout needs the name of a lesson")}
				}
				list, err := answer.ListLessons()
				if err != nil {
					return err
				}
				return s.tell(list, func(w io.Writer) error { return writeLessons(w, list) })
			}
			l, err := teach.Work(c.Context(), args[0])
			if err != nil {
				return err
			}
			if handout != "" {
				page, err := l.Handout("")
				if err != nil {
					return err
				}
				return os.WriteFile(handout, page, 0o644)
			}
			return s.tell(l, func(w io.Writer) error { return writeLesson(w, l) })
		},
	}
	c.Flags().StringVar(&handout, "handout", "", "write the lesson as one page to print into this `file`, HTML")
	return c
}

func writeLessons(w io.Writer, list answer.Lessons) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, l := range list.Lessons {
		fmt.Fprintf(t, "%s\t%s\n", l.Name, l.Title)
	}
	return t.Flush()
}

func writeLesson(w io.Writer, l *teach.Lesson) error {
	p := func(format string, args ...any) { fmt.Fprintf(w, format+"\n", args...) }
	p("%s\n", l.Title)
	p("%s", l.Question)
	for _, c := range l.Choices {
		p("  - %s", c)
	}
	p("\nAnswer: %s. %s\n", l.Choices[l.Right], l.Answer)
	for i := range l.Readings {
		r := &l.Readings[i]
		value := r.Figure()
		if r.Verdict != "" && r.Unit == teach.OfWhatItBears {
			value += ", " + r.Verdict
		}
		p("%s: %s", r.Label, value)
	}
	p("\nChange: %s\nAnd then: %s %s\n\nBuild it: %s %s", l.Change, l.Ask, l.Reply, l.Experiment.Do, l.Experiment.Prediction)
	for _, a := range l.Experiment.Air {
		p("  %s: %.0f ± %.0f %% humidity at %.0f °C. %s", a.Salt, a.Humidity, a.Spread, a.Temperature, a.Source)
	}
	p("Held against the outside: %s", l.Outside)
	for _, text := range l.Practice {
		p("Common practice, without a source: %s", text)
	}
	return nil
}
