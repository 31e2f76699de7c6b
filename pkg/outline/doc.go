// Package outline makes a board file of a drawing: the closed shapes of an SVG
// document (W3C Scalable Vector Graphics 1.1) become free pieces.
//
// Taken are path, rect, polygon, polyline, circle and ellipse, inside svg, g, a and
// switch, with their transforms. A shape's wood is told by the first of these that is
// there:
//
//	data-stock   a key of stock, or a wood
//	id           a key of stock or a wood, with a number behind it: walnut-3
//	fill         a colour for which Options.Stock has a wood
//
// data-ring-angle and data-grain say of a shape what ring_angle and grain say of a
// piece; without, rings are unknown and fibres up. Stroke, text, pictures and what is
// not displayed are left out; a copy (use) or a style sheet that colours shapes is a
// fault. Nothing of a drawing is run or fetched.
//
// Curves become corners: each is divided into equal steps of its parameter, so many
// that no chord lies further from it than the tolerance. A curve that two shapes share
// gets the same corners from either end.
//
// A unit of the drawing is one of Options.Units, or what width, height and viewBox of
// the drawing make of it where they tell a length: width="210mm" viewBox="0 0 210 297".
package outline
