package api

import (
	"bufio"
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"net"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"
)

// Key is the right to ask, as it is kept: a name for limits and logs, and the
// digest of the secret. A secret is 32 random bytes, so that a plain digest
// cannot be searched backwards.
type Key struct {
	Name   string
	Digest [sha256.Size]byte
}

const (
	secretMark  = "tnr_" // so that a secret that leaked is recognised
	secretBytes = 32
	maxKeyName  = 64
)

// NewKey makes a key of a name and gives its secret, which is kept nowhere.
func NewKey(name string) (Key, string, error) {
	if !plainID(name) {
		return Key{}, "", fmt.Errorf("api: key name %q: allowed 1 to %d letters, digits, dots, dashes, underscores", name, maxKeyName)
	}
	var b [secretBytes]byte
	_, _ = rand.Read(b[:]) // never fails, see crypto/rand
	secret := secretMark + base64.RawURLEncoding.EncodeToString(b[:])
	return Key{name, sha256.Sum256([]byte(secret))}, secret, nil
}

// String is the line of a key file.
func (k Key) String() string { return k.Name + " " + hex.EncodeToString(k.Digest[:]) }

// ReadKeys reads a key file: a name and a digest a line, empty lines and lines
// that begin with # left out.
func ReadKeys(text []byte) ([]Key, error) {
	var keys []Key
	seen := map[string]bool{}
	lines := bufio.NewScanner(bytes.NewReader(text))
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		name, digest, _ := strings.Cut(line, " ")
		k := Key{Name: name}
		raw, err := hex.DecodeString(strings.TrimSpace(digest))
		if err != nil || len(raw) != len(k.Digest) || !plainID(name) || seen[name] {
			return nil, fmt.Errorf("api: key file, line %d: allowed a name of its own, a space and a SHA-256 digest in hexadecimal", n)
		}
		copy(k.Digest[:], raw)
		seen[name] = true
		keys = append(keys, k)
	}
	if len(keys) == 0 {
		return nil, fmt.Errorf("api: the key file holds no key")
	}
	return keys, lines.Err()
}

// keyed lets a request pass that brings a key, where keys are asked for, and notes
// who asks for the limits of a client.
func (s *Server) keyed(c *gin.Context) {
	if len(s.cfg.Keys) == 0 {
		host, _, _ := net.SplitHostPort(c.Request.RemoteAddr) // with a proxy in front all are one client
		c.Set(clientKey, host)
		return
	}
	secret := c.GetHeader("X-Api-Key")
	if scheme, token, ok := strings.Cut(c.GetHeader("Authorization"), " "); ok && strings.EqualFold(scheme, "Bearer") {
		secret = strings.TrimSpace(token)
	}
	digest := sha256.Sum256([]byte(secret))
	found := -1
	for i := range s.cfg.Keys { // all of them, whichever fits
		if subtle.ConstantTimeCompare(digest[:], s.cfg.Keys[i].Digest[:]) == 1 {
			found = i
		}
	}
	if found < 0 {
		c.Header("WWW-Authenticate", `Bearer realm="tanrad"`)
		fail(c, newProblem(http.StatusUnauthorized, "key", "send a key as Authorization: Bearer …"))
		return
	}
	c.Header("Cache-Control", "private") // an answer to a key is nobody else's
	c.Set(clientKey, "key "+s.cfg.Keys[found].Name)
}

const clientKey = "client"
