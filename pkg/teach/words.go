package teach

import (
	"encoding/json"
	"fmt"
	"sync"

	"github.com/tanrad/tanrad/data"
)

// Word is a word of the trade with a sketch.
type Word struct {
	Word    string `json:"word"`
	Meaning string `json:"meaning"`
	Sketch  string `json:"sketch"` // SVG, in the colour of the text around it
}

// Words is the glossary.
var Words = sync.OnceValues(func() ([]Word, error) {
	var out []Word
	if err := json.Unmarshal(data.Words, &out); err != nil {
		return nil, fmt.Errorf("teach: words.json: %w", err)
	}
	return out, nil
})
