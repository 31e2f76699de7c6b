// Package quantity keeps units at the door: it reads lengths as makers write
// them (decimals, fractions of an inch, a unit or none) into mm, and writes mm
// back as inches in binary fractions down to 1/64.
//
// Inside the module every length is a float64 in mm. One inch is 25.4 mm,
// exactly (international yard and pound agreement, 1959).
package quantity
