package answer

import (
	"context"
	"sync"

	"github.com/tanrad/tanrad/pkg/fault"
	"github.com/tanrad/tanrad/pkg/teach"
)

// Lessons is the list of lessons.
type Lessons struct {
	Lessons []teach.Heading `json:"lessons"`
}

// Words is the glossary.
type Words struct {
	Words []teach.Word `json:"words"`
}

// ListLessons lists the lessons.
func ListLessons() (Lessons, error) {
	l, err := teach.List()
	return Lessons{l}, err
}

// ListWords lists the words of the glossary.
func ListWords() (Words, error) {
	w, err := teach.Words()
	return Words{w}, err
}

// Classroom works lessons out, each once: nobody's question changes them.
type Classroom struct {
	mu   sync.Mutex
	done map[string]*teach.Lesson
}

// Lesson gives a lesson worked out. Errors: those of teach.Work.
func (r *Classroom) Lesson(ctx context.Context, name string) (*teach.Lesson, error) {
	r.mu.Lock() // one at a time: whoever comes next finds it done
	defer r.mu.Unlock()
	if l := r.done[name]; l != nil {
		return l, nil
	}
	l, err := teach.Work(ctx, name)
	if err != nil {
		return nil, fault.At(err, "/name")
	}
	if r.done == nil {
		r.done = map[string]*teach.Lesson{}
	}
	r.done[name] = l
	return l, nil
}
