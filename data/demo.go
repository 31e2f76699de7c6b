package data

import _ "embed"

// Demo is a board file: a maple and walnut checker with rings at random and a
// border of end grain. The command checks it when it is given no file, and the
// browser page starts with it.
//
//go:embed demo_board.json
var Demo []byte
