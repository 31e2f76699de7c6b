package oracle

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
)

// ErrNoSolver says that no ccx is on the PATH.
var ErrNoSolver = errors.New("oracle: ccx is not on the path")

// Version asks ccx for its version, for example "CalculiX 2.20".
func Version() (string, error) {
	path, err := exec.LookPath("ccx")
	if err != nil {
		return "", ErrNoSolver
	}
	text, _ := exec.Command(path, "-v").CombinedOutput() // ccx ends with status 0 or 201 here, by build
	words := strings.Fields(string(text))
	if len(words) == 0 {
		return "", errors.New("oracle: ccx does not tell its version")
	}
	return "CalculiX " + words[len(words)-1], nil
}

// solve runs ccx on a deck in a directory of its own and returns its tables.
func solve(deck []byte) (*tables, error) {
	path, err := exec.LookPath("ccx")
	if err != nil {
		return nil, ErrNoSolver
	}
	dir, err := os.MkdirTemp("", "oracle")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	if err := os.WriteFile(filepath.Join(dir, "deck.inp"), deck, 0o600); err != nil {
		return nil, err
	}
	cmd := exec.Command(path, "deck")
	cmd.Dir = dir
	// one thread: sums in one order, so that a rerun gives the same digits
	cmd.Env = append(os.Environ(), "OMP_NUM_THREADS=1", "CCX_NPROC_EQUATION_SOLVER=1", "CCX_NPROC_RESULTS=1")
	log, err := cmd.CombinedOutput()
	if err != nil || bytes.Contains(log, []byte("*ERROR")) {
		return nil, fmt.Errorf("oracle: ccx: %v\n%s", err, tail(log, 2000))
	}
	f, err := os.Open(filepath.Join(dir, "deck.dat"))
	if err != nil {
		return nil, fmt.Errorf("oracle: ccx left no result: %w\n%s", err, tail(log, 2000))
	}
	defer f.Close()
	return readTables(bufio.NewScanner(f))
}

func tail(b []byte, n int) []byte {
	if len(b) > n {
		return b[len(b)-n:]
	}
	return b
}

// tables holds what a .dat file prints, by node and element number (from 1).
type tables struct {
	displacement map[int][3]float64
	stress       map[int][][6]float64 // per element, in order of integration points: xx yy zz xy xz yz
}

// readTables reads the displacement and stress blocks of a .dat file.
func readTables(lines *bufio.Scanner) (*tables, error) {
	t := &tables{map[int][3]float64{}, map[int][][6]float64{}}
	block := ""
	for lines.Scan() {
		f := strings.Fields(lines.Text())
		if len(f) == 0 {
			continue
		}
		if _, err := strconv.Atoi(f[0]); err != nil {
			block = f[0]
			continue
		}
		id, _ := strconv.Atoi(f[0])
		switch {
		case block == "displacements" && len(f) == 4:
			var u [3]float64
			if err := parse(u[:], f[1:]); err != nil {
				return nil, err
			}
			t.displacement[id] = u
		case block == "stresses" && len(f) >= 8:
			var s [6]float64
			if err := parse(s[:], f[2:8]); err != nil {
				return nil, err
			}
			t.stress[id] = append(t.stress[id], s)
		default:
			return nil, fmt.Errorf("oracle: unexpected line of a result file: %q", lines.Text())
		}
	}
	return t, lines.Err()
}

func parse(dst []float64, f []string) error {
	for i := range dst {
		v, err := strconv.ParseFloat(f[i], 64)
		if err != nil {
			return fmt.Errorf("oracle: result file: %w", err)
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("oracle: result file: %s", f[i])
		}
		dst[i] = v
	}
	return nil
}
