// Package report says answers in plain text, verdict first, for people at a
// terminal: a board, a pair of woods, the movement of one piece.
//
// Lines are at most about 80 letters wide. Lengths are mm, or inches with
// fractions to 1/64 when Style.Inches is set; stresses are MPa always.
//
// Missing: colour (a terminal's own business) and languages other than English.
package report
