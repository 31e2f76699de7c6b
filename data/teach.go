package data

import _ "embed"

// Lessons are the experiments that package teach works out. Boards in it are
// invented; what is a habit of the trade is marked so.
//
//go:embed lessons.json
var Lessons []byte

// Words is the glossary: words with their meaning and a sketch each.
//
//go:embed words.json
var Words []byte
