package moisture

import (
	"encoding/csv"
	"fmt"
	"strconv"

	"github.com/tanrad/tanrad/data"
)

// row is one line of a table by column name.
type row map[string]string

// readTable reads a table of package data whole. The tables are part of the
// program and tested with it, so a broken one is a fault of the build and panics.
func readTable(name string) []row {
	f, err := data.Files.Open(name)
	if err != nil {
		panic("moisture: " + err.Error())
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) < 2 {
		panic(fmt.Sprintf("moisture: table %s cannot be read: %v", name, err))
	}
	rows := make([]row, 0, len(all)-1)
	for _, line := range all[1:] {
		r := row{"file": name}
		for i, key := range all[0] {
			r[key] = line[i]
		}
		rows = append(rows, r)
	}
	return rows
}

// number reads a numeric column.
func (r row) number(key string) float64 {
	v, err := strconv.ParseFloat(r[key], 64)
	if err != nil {
		panic(fmt.Sprintf("moisture: table %s, column %s: %q is no number", r["file"], key, r[key]))
	}
	return v
}
