package moisture

import (
	"github.com/tanrad/tanrad/data"
)

// readTable reads a table of package data whole. The tables are part of the
// program and tested with it, so a broken one is a fault of the build and panics.
func readTable(name string, columns ...string) []data.Row {
	rows, err := data.Read(data.Files, name, columns...)
	if err != nil {
		panic("moisture: " + err.Error())
	}
	return rows
}

// number reads a numeric column.
func number(r data.Row, column string) float64 {
	v, err := r.Float(column)
	if err != nil {
		panic("moisture: " + err.Error())
	}
	return v
}
