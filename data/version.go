package data

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"sync"
)

// Version marks the state of all tables: equal marks, equal data. It is the front
// of a digest over names and contents.
var Version = sync.OnceValue(func() string {
	h := sha256.New()
	_ = fs.WalkDir(Files, ".", func(path string, d fs.DirEntry, err error) error { // embedded files cannot fail to open
		if err != nil || d.IsDir() {
			return err
		}
		body, err := fs.ReadFile(Files, path)
		h.Write([]byte(path + "\x00"))
		h.Write(body)
		h.Write([]byte{0})
		return err
	})
	return hex.EncodeToString(h.Sum(nil))[:12]
})
