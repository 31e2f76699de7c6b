// Package data holds the tables of the project: one CSV file a subject, each
// value with the key of its source and its status. The keys are explained in
// sources.csv.
package data

import "embed"

// Files hands out every table by its file name.
//
//go:embed *.csv
var Files embed.FS
