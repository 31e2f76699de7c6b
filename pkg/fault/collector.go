package fault

import "fmt"

// Collector gathers faults up to a limit; one more says that there are others.
// The zero value is ready and takes 100.
type Collector struct {
	Most int // 0 means 100
	list List
}

func (c *Collector) most() int {
	if c.Most <= 0 {
		return 100
	}
	return c.Most
}

// Add collects a fault. Past the limit one closing fault says so, and further
// ones are dropped.
func (c *Collector) Add(f Fault) {
	switch n := len(c.list); {
	case n < c.most():
		c.list = append(c.list, f)
	case n == c.most():
		c.list = append(c.list, Fault{
			Rule:    TooLarge,
			Detail:  fmt.Sprintf("more than %d faults; the rest is not listed", c.most()),
			Allowed: fmt.Sprintf("%d faults are listed", c.most()),
			Fix:     "mend these first",
		})
	}
}

// Full reports that further faults would be dropped. Whoever works to tell a
// fault well, with the nearest name or a place put together, asks first: a
// hostile text has a hundred thousand of them.
func (c *Collector) Full() bool { return len(c.list) > c.most() }

// Empty reports that nothing was collected.
func (c *Collector) Empty() bool { return len(c.list) == 0 }

// List returns what was collected so far.
func (c *Collector) List() List { return c.list }
