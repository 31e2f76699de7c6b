package kept

import (
	"fmt"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Texts of any size under few and many keys: what is kept never passes the bound, is
// counted truly, and is what was put last.
func TestKeptWithinItsBytes(t *testing.T) {
	const most = 20_000
	k := New(most)
	rng := rand.New(rand.NewPCG(3, 9))
	last := map[string]byte{}
	for i := range 5000 {
		key := fmt.Sprint(rng.IntN(300))
		text := make([]byte, 1+rng.IntN(2000))
		text[0] = byte(i)
		k.Put(key, text)
		last[key] = byte(i)
		assert.Equal(t, text, k.Get(key))
		assert.LessOrEqual(t, k.Bytes(), int64(most))
		sum := int64(0)
		for _, at := range k.list.Keys() {
			held, _ := k.list.Peek(at)
			sum += size(at, held)
			assert.Equal(t, last[at], held[0])
		}
		assert.Equal(t, sum, k.Bytes())
	}
	k.Put("large", make([]byte, most/2))
	assert.Nil(t, k.Get("large"))
	assert.Positive(t, k.Bytes())
}

func TestOldestGoesFirst(t *testing.T) {
	k := New(1000)
	for _, key := range []string{"a", "b", "c", "d"} {
		k.Put(key, []byte(key))
	}
	assert.NotNil(t, k.Get("a"))
	k.Put("e", []byte("e"))
	assert.Nil(t, k.Get("b"), "b was not asked for longest")
	assert.NotNil(t, k.Get("a"))
	var none *Texts
	none.Put("a", nil)
	assert.Nil(t, none.Get("a"))
}

func TestManyAtOnce(t *testing.T) {
	k := New(5000)
	var group sync.WaitGroup
	for g := range 8 {
		group.Go(func() {
			for i := range 500 {
				key := fmt.Sprint((g + i) % 40)
				k.Put(key, []byte(key))
				if text := k.Get(key); text != nil && string(text) != key {
					t.Error("another's text")
				}
			}
		})
	}
	group.Wait()
}
