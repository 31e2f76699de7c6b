package window

import "github.com/tanrad/tanrad/pkg/check"

// uniform are the conditions of a search, with a cache.
func uniform() check.Conditions {
	return check.Conditions{NoHistories: true, NoCracks: true, Cache: check.NewCache(0)}
}
