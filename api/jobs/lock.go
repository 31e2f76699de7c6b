package jobs

import (
	"net"
	"os"
	"path/filepath"
	"strconv"
	"sync"
)

// held keeps the locks of directories open for the life of the process: the
// engine goes on writing for a moment after it was told to stop.
var held sync.Map // directory -> *os.File

// lock takes a directory for this process, or says that another has it.
func lock(dir string) (unlock func(), err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, err
	}
	if _, ours := held.Load(dir); ours {
		return func() {}, nil
	}
	f, err := os.OpenFile(filepath.Join(dir, "lock"), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	if err := lockFile(f); err != nil {
		f.Close()
		return nil, err
	}
	held.Store(dir, f)
	return func() { held.Delete(dir); f.Close() }, nil
}

func hostPort(address string) (string, int, error) {
	host, text, err := net.SplitHostPort(address)
	if err != nil {
		return "", 0, err
	}
	port, err := strconv.Atoi(text)
	if port == 0 {
		port = -1 // the engine's word for any free port
	}
	return host, port, err
}
