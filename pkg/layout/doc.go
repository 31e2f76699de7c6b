// Package layout reads the board file and works out its geometry: which pieces
// of wood there are, where they lie, how their rings and fibres run, and along
// which straight glue lines they meet.
//
// Axes: lengths in mm whatever the file's units; x to the right, y up, z out of
// the top face; angles in degrees counter-clockwise from +x seen from above.
//
// The ring angle of a piece gives its radial axis (pith to bark) in the plane
// normal to the fibres. With fibres up (end grain): the angle of the radial axis
// from +x. With fibres along the direction φ in the plane: the angle from the
// face normal +z towards the in-plane direction φ+90°, so 0 is flat-sawn on the
// face and 90 is quarter-sawn.
package layout
