package main

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const flagTable = "cmd/tanrad/deploy/flags.md"

// Every flag of the long-running commands stands in one table with its variable of the
// environment, its default and what it does.
func TestFlagTableIsTrue(t *testing.T) {
	atRoot(t)
	var b strings.Builder
	b.WriteString("# Flags and environment\n\nEvery flag of `tanrad serve` and `tanrad work` may be given as a variable of the environment instead; the flag counts where both are given.\n" +
		"Written by `go test ./cmd/tanrad -run FlagTable -update`.\n")
	s := &session{}
	for _, c := range []*cobra.Command{s.serve(), s.work()} {
		fmt.Fprintf(&b, "\n## tanrad %s\n\n| flag | environment | default | what |\n|---|---|---|---|\n", c.Name())
		c.Flags().VisitAll(func(f *pflag.Flag) {
			kind, what := pflag.UnquoteUsage(f)
			if kind != "" {
				kind = " " + kind
			}
			is := f.DefValue
			if before, after, told := strings.Cut(what, " (default "); told {
				what, is = before, strings.TrimSuffix(after, ")")
			}
			fmt.Fprintf(&b, "| `--%s%s` | `%s` | %s | %s |\n", f.Name, kind, variableOf(f), is, what)
		})
	}
	if *update {
		require.NoError(t, os.WriteFile(flagTable, []byte(b.String()), 0o644))
	}
	got, err := os.ReadFile(flagTable)
	require.NoError(t, err)
	assert.Equal(t, b.String(), string(got))
}
