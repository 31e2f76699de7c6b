package advice

import (
	"github.com/tanrad/tanrad/pkg/check"
	"github.com/tanrad/tanrad/pkg/internal/boardtest"
)

// The test kit by short names.
var (
	read  = boardtest.Parse
	board = boardtest.Lay
	file  = boardtest.File
	grid  = boardtest.Grid
)

// uniform are the conditions of a search, with a cache.
func uniform() check.Conditions {
	return check.Conditions{NoHistories: true, NoCracks: true, Cache: check.NewCache(0)}
}
