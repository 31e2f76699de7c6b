package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// flagsOf lists the flags of a command.
func flagsOf(t *testing.T, name string) *pflag.FlagSet {
	s := &session{}
	for _, c := range s.root().Commands() {
		if c.Name() == name {
			return c.Flags()
		}
	}
	t.Fatalf("no command %s", name)
	return nil
}

// Units and container start the command with flags and variables it has.
func TestDeploymentFilesNameWhatThereIs(t *testing.T) {
	variable := regexp.MustCompile(`\bTANRAD_[A-Z_]+\b`)
	for file, command := range map[string]string{"tanrad.service": "serve", "tanrad-worker.service": "work", "Containerfile": "serve"} {
		text, err := os.ReadFile(filepath.Join("deploy", file))
		require.NoError(t, err)
		flags := flagsOf(t, command)
		found := 0
		for _, name := range variable.FindAllString(string(text), -1) {
			found++
			flag := strings.ToLower(strings.ReplaceAll(strings.TrimPrefix(name, envPrefix), "_", "-"))
			assert.NotNil(t, flags.Lookup(flag), "%s: %s", file, name)
		}
		assert.Positive(t, found, file)
		for _, line := range strings.Split(string(text), "\n") {
			if start, ok := strings.CutPrefix(line, "ExecStart="); ok {
				words := strings.Fields(start)
				assert.Equal(t, command, words[1], file)
				require.NoError(t, flags.Parse(words[2:]), file)
			}
		}
	}
}

// The engine of units reads them, where it is there to be asked.
func TestUnitsAreWellFormed(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	path, err := exec.LookPath("systemd-analyze")
	if err != nil {
		t.Skip("systemd-analyze is not here")
	}
	binary := build(t)
	for _, name := range []string{"tanrad.service", "tanrad-worker.service"} {
		text, err := os.ReadFile(filepath.Join("deploy", name))
		require.NoError(t, err)
		unit := filepath.Join(t.TempDir(), name)
		require.NoError(t, os.WriteFile(unit, []byte(strings.ReplaceAll(string(text), "/usr/local/bin/tanrad", binary)), 0o644))
		out, err := exec.Command(path, "verify", "--man=no", unit).CombinedOutput()
		assert.NoError(t, err, "%s", out)
	}
}

// The examples with curl are run as they stand.
func TestCurlExamples(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	if _, err := exec.LookPath("curl"); err != nil {
		t.Skip("curl is not here")
	}
	address := freeAddress(t)
	begin(t, build(t), "serve", "--addr", address, "--data", t.TempDir())
	out, err := exec.Command("bash", "deploy/examples.sh", "http://"+address).CombinedOutput()
	require.NoError(t, err, "%s", out)
	text := string(out)
	for _, want := range []string{`"moisture":`, `"verdict":`, `"headline":`, "unchanged: 304", "<svg", "event: result", `"state":"done"`, "event: end"} {
		assert.Contains(t, text, want)
	}
	assert.Equal(t, 4, strings.Count(text, "event: result"))
	assert.True(t, strings.HasSuffix(text, "}3\n"), "three boards were drawn: %s", text)
}
