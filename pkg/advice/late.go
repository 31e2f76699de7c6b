package advice

import (
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
)

// What is glued is done: a proposal that would change it is passed over.

// done lists the glue-ups that are done.
func (a *adviser) done() (out []*layout.GlueUp) {
	for i := range a.b.GlueUps {
		if g := &a.b.GlueUps[i]; slices.Contains(a.glued, g.ID) {
			out = append(out, g)
		}
	}
	return out
}

// bordersOn is how many borders, from the inside, are glued on.
func (a *adviser) bordersOn() (n int) {
	for _, g := range a.done() {
		if g.Kind == layout.StageBorder {
			n = max(n, g.Border+1)
		}
	}
	return n
}

// sliced tells whether rows are glued already, so that all slices are sawn.
func (a *adviser) sliced() bool {
	return slices.ContainsFunc(a.done(), func(g *layout.GlueUp) bool { return g.Kind == layout.StageField || g.Kind == layout.StageBorder })
}

// tooLate says why something is passed over.
func (a *adviser) tooLate() string { return "glued already: " + strings.Join(a.glued, ", ") }
