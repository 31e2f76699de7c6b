package data

import (
	"encoding/csv"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strconv"
)

// Row is one line of a table: the cells by column name, and where it stands.
type Row struct {
	Table string
	Line  int // 1 is the header; lines of comment are not counted
	Cells map[string]string
}

// Get returns the cell of a column, "" when it is blank.
func (r Row) Get(column string) string { return r.Cells[column] }

// Float reads the cell of a column as a number in the unit the table prints.
// The error names table, line and column.
func (r Row) Float(column string) (float64, error) {
	v, err := strconv.ParseFloat(r.Cells[column], 64)
	if err != nil {
		return 0, r.Errorf("%s %q is not a number", column, r.Cells[column])
	}
	return v, nil
}

// Floats reads the cells of several columns, each in the unit the table prints. The
// columns are read by name, so that of several that are no numbers always the same is told.
func (r Row) Floats(into map[string]*float64) (err error) {
	for _, column := range slices.Sorted(maps.Keys(into)) {
		if *into[column], err = r.Float(column); err != nil {
			return err
		}
	}
	return nil
}

// Errorf makes an error that says where in the tables the trouble is.
func (r Row) Errorf(format string, args ...any) error {
	return fmt.Errorf("%s line %d: %s", r.Table, r.Line, fmt.Sprintf(format, args...))
}

// Read reads a table whole. The columns named must all be there; others may be.
// A line of the wrong length is an error, so that a stray comma cannot shift a
// value into its neighbour's column.
func Read(files fs.FS, table string, columns ...string) ([]Row, error) {
	f, err := files.Open(table)
	if err != nil {
		return nil, fmt.Errorf("table %s: %w", table, err)
	}
	defer f.Close()
	lines := csv.NewReader(f)
	lines.Comment = '#' // a table of test data names its source in the first line
	all, err := lines.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("table %s: %w", table, err)
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("table %s is empty", table)
	}
	head := make(map[string]bool, len(all[0]))
	for _, name := range all[0] {
		head[name] = true
	}
	for _, name := range columns {
		if !head[name] {
			return nil, fmt.Errorf("table %s has no column %q", table, name)
		}
	}
	rows := make([]Row, 0, len(all)-1)
	for i, cells := range all[1:] {
		row := Row{Table: table, Line: i + 2, Cells: make(map[string]string, len(cells))}
		for j, name := range all[0] {
			row.Cells[name] = cells[j]
		}
		rows = append(rows, row)
	}
	return rows, nil
}
