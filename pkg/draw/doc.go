// Package draw makes the pictures: a board with its joints painted by
// utilisation, histories, moisture profiles, the deformed board, the bent
// surface and the order of work of a sliced field. All are SVG, complete in
// themselves: no script, no outside font, no style sheet and no ids, so that
// several of them can stand in one page.
//
// Nothing here knows physics. The caller passes plain numbers and words; what
// is drawn is what was passed. A number that is not finite is refused, a text
// is escaped and, where it is too long, cut with an ellipsis.
//
// Every picture is 600 units wide and is designed to be read at 600 px; a
// Width option only sets the size at which it is shown. Board lengths are in
// mm, angles in degrees as in package layout. The same input gives the same
// bytes.
//
// The picture lies on an opaque card, so it reads on a light page and on a
// dark one. Utilisation is told four times over: by colour (a ramp that falls
// in lightness, also for the colour-blind), by width, by dash and in words.
//
// Missing: 1. rings of a long-grain piece are shown by a pattern for its cut,
// not by the true section of a cone of rings. 2. text is measured with average
// letter widths, since the reader's font is unknown.
package draw
