// Package kept keeps what was asked for lately, within a number of bytes.
package kept

import (
	"sync"

	"github.com/hashicorp/golang-lru/v2/simplelru"
)

// Texts are texts under keys. What was not asked for longest goes when there is no
// room for more. It is safe for concurrent use; nil keeps nothing.
type Texts struct {
	most int64

	mu    sync.Mutex
	bytes int64
	list  *simplelru.LRU[string, []byte]
}

// overhead is what a text takes beside its own bytes and those of its key, about.
const overhead = 200

// New makes a keeper of at most so many bytes.
func New(bytes int64) *Texts {
	k := &Texts{most: bytes}
	k.list, _ = simplelru.NewLRU(int(max(1, bytes/overhead)), func(key string, text []byte) { k.bytes -= size(key, text) }) // the number is positive
	return k
}

func size(key string, text []byte) int64 { return int64(len(key)+len(text)) + overhead }

// Put keeps a text, which nobody may change from now on. One that would take more
// than a quarter of the room is not kept.
func (k *Texts) Put(key string, text []byte) {
	if k == nil || size(key, text) > k.most/4 {
		return
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	k.list.Remove(key)
	k.bytes += size(key, text)
	k.list.Add(key, text)
	for k.bytes > k.most {
		k.list.RemoveOldest()
	}
}

// Get gives a text, nil when it is not kept.
func (k *Texts) Get(key string) []byte {
	if k == nil {
		return nil
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	text, _ := k.list.Get(key)
	return text
}

// Bytes is what is kept at present, about.
func (k *Texts) Bytes() int64 {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.bytes
}
