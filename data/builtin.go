package data

// The tables are built into the program and tested with it: a broken one is a fault of
// the build, which no caller can mend. What follows panics on one, with table, line and
// column.

// Table reads a table of Files whole. The columns named must all be there.
func Table(name string, columns ...string) []Row {
	rows, err := Read(Files, name, columns...)
	if err != nil {
		panic("data: " + err.Error())
	}
	return rows
}

// Number is the cell of a column in the unit the table prints.
func (r Row) Number(column string) float64 {
	v, err := r.Float(column)
	if err != nil {
		panic("data: " + err.Error())
	}
	return v
}

// Optional is the cell of a column in the unit the table prints, 0 where it is blank.
func (r Row) Optional(column string) float64 {
	if r.Get(column) == "" {
		return 0
	}
	return r.Number(column)
}

// Keyed is a table of Files by the column "key".
func Keyed(name string, columns ...string) map[string]Row {
	rows := map[string]Row{}
	for _, r := range Table(name, append(columns, "key")...) {
		rows[r.Get("key")] = r
	}
	return rows
}

// Figures are the numbers of the column "value" of a table of Files by the column "key",
// each in the unit its row prints.
func Figures(name string, columns ...string) map[string]float64 {
	m := map[string]float64{}
	for key, r := range Keyed(name, append(columns, "value")...) {
		m[key] = r.Number("value")
	}
	return m
}
