//go:build !linux

package sparse

func preferLargePages([]float64) {}
