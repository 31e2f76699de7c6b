package teach

import (
	"encoding/json"
	"fmt"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/movement"
)

// plan is a lesson as the data tell it.
type plan struct {
	Name     string          `json:"name"`
	Title    string          `json:"title"`
	Question string          `json:"question"`
	Choices  []string        `json:"choices"`
	Right    rule            `json:"right"`
	Change   string          `json:"change"`
	Board    json.RawMessage `json:"board"`
	Readings []ask           `json:"readings"`
	Answer   string          `json:"answer"` // a template of the readings
	Ask      string          `json:"ask"`
	Reply    string          `json:"reply"` // likewise
	Do       struct {
		Do      string `json:"do"`
		Reading string `json:"reading"`
	} `json:"experiment"`
	Outside  string   `json:"outside"`
	Practice []string `json:"practice"`
}

// rule picks the right choice: the number of bounds that one reading over another
// has reached. Below Absolute, 1 of the other reading's unit when nothing is said,
// the quotient says nothing and the first choice is right.
type rule struct {
	Of       string    `json:"of"`
	Over     string    `json:"over"`
	Bounds   []float64 `json:"bounds"`
	Absolute float64   `json:"absolute"`
	Falling  bool      `json:"falling"` // choices run from the largest quotient to the smallest
}

// ask says how a reading is got; exactly one of its sources is given.
type ask struct {
	ID       string                     `json:"id"`
	Label    string                     `json:"label"`
	Take     string                     `json:"take"`
	Movement *piece                     `json:"movement"`
	Pair     json.RawMessage            `json:"pair"`
	Board    map[string]json.RawMessage `json:"board"` // pointers into the lesson's board and what stands there instead
	Shift    float64                    `json:"shift"` // % MC
	State    string                     `json:"state"`
	Exposure string                     `json:"exposure"`
	Less     []string                   `json:"less"` // the first reading less the second
	Constant *float64                   `json:"constant"`
}

// piece is one piece that moves freely.
type piece struct {
	Species string          `json:"species"`
	Size    float64         `json:"size"`
	Cut     json.RawMessage `json:"cut"`
	FromMC  float64         `json:"from_mc"`
	ToMC    float64         `json:"to_mc"`
}

// Heading is a lesson in a list.
type Heading struct {
	Name     string `json:"name"`
	Title    string `json:"title"`
	Question string `json:"question"`
}

// Lesson is a lesson worked out.
type Lesson struct {
	Heading
	Choices    []string        `json:"choices"`
	Right      int             `json:"right"` // index of the choice that the sums bear out
	Change     string          `json:"change"`
	Board      json.RawMessage `json:"board,omitempty"` // a board file, to open on a bench
	Readings   []Reading       `json:"readings"`
	Answer     string          `json:"answer"`
	Ask        string          `json:"ask"`
	Reply      string          `json:"reply"`
	Experiment Experiment      `json:"experiment"`
	Outside    string          `json:"outside"`  // what was printed elsewhere about its figures; where nothing was, that
	Practice   []string        `json:"practice"` // common practice of the trade, without a source
}

// Reading is one figure with the way it was got.
type Reading struct {
	ID         string          `json:"id"`
	Label      string          `json:"label"`
	Value      float64         `json:"value"`
	Unit       string          `json:"unit"`
	Verdict    string          `json:"verdict,omitempty"`
	Why        string          `json:"why,omitempty"`        // of a check: its sentence
	Derivation []movement.Step `json:"derivation,omitempty"` // of a piece or a pair; of a board in short
}

// Figure tells the value with its unit, a share in per cent, to three digits.
func (r *Reading) Figure() string {
	if r.Unit == OfWhatItBears {
		return fmt.Sprintf("%.0f %% %s", 100*r.Value, r.Unit)
	}
	return number(r.Value) + " " + r.Unit
}

// Experiment is what a class builds, with what to expect.
type Experiment struct {
	Do         string    `json:"do"`
	Air        []SaltAir `json:"air"`
	Prediction string    `json:"prediction"`
}

var plans = sync.OnceValues(func() ([]plan, error) {
	var out []plan
	if err := json.Unmarshal(data.Lessons, &out); err != nil {
		return nil, fmt.Errorf("teach: lessons.json: %w", err)
	}
	return out, nil
})

// List gives the headings of all lessons in their order.
func List() ([]Heading, error) {
	all, err := plans()
	out := make([]Heading, len(all))
	for i := range all {
		out[i] = Heading{all[i].Name, all[i].Title, all[i].Question}
	}
	return out, err
}

func find(name string) (*plan, error) {
	all, err := plans()
	if err != nil {
		return nil, err
	}
	p, err := fault.Lookup("lesson", name, all, func(p *plan) string { return p.Name })
	return &p, err
}
