//go:build unix

package jobs

import (
	"errors"
	"math"
	"os"

	"golang.org/x/sys/unix"
)

// freeBytes is the room on the disk of a directory for those who are no keeper of the
// machine; all there can be where nobody knows.
func freeBytes(dir string) int64 {
	var s unix.Statfs_t
	if unix.Statfs(dir, &s) != nil {
		return math.MaxInt64
	}
	return int64(s.Bavail) * int64(s.Bsize)
}

func lockFile(f *os.File) error {
	if err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB); err != nil {
		return errors.New("another process works with it")
	}
	return nil
}
