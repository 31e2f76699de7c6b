// Package check is the front door for one board: from a board read by package
// layout to a Report. It wires the rooms together and holds no physics of its own.
package check

import (
	"github.com/tanrad/tanrad/pkg/internal/influence"
	"github.com/tanrad/tanrad/pkg/internal/picture"
)

// What the conditions of a check consist of.
type (
	Conditions = influence.Conditions
	NamedRoom  = influence.NamedRoom
)

// Names in Conditions.Exposures that stand for none and for the usual set.
const (
	NoExposures       = influence.NoExposures
	StandardExposures = influence.StandardExposures
)

// DefaultHome is the climate of a board whose file names none.
const DefaultHome = influence.DefaultHome

// What pictures show.
type (
	Instant = picture.Instant
	Heights = picture.Heights
	Profile = picture.Profile
)
