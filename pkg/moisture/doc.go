// Package moisture tells how much water the wood of a board holds, where and
// when: equilibrium with the air (Wood Handbook, ch. 4), climates and events of
// a board's life, and diffusion through the thickness of a piece (Crank, The
// Mathematics of Diffusion, plane sheet; Siau, Transport Processes in Wood).
//
// Units: moisture content (MC) in % of oven-dry mass, relative humidity (RH) in
// %, temperature in °C, thickness in mm, time in hours, diffusivity in mm²/h
// inside the kernel and m²/s where it is printed. z runs upwards from the
// mid-plane: the bottom face is at −h/2, the top face at +h/2.
//
// What is missing, and why:
//  1. Sorption hysteresis. The equilibrium curve lies between uptake and
//     drying; loops are published for spruce, not for the hardwoods.
//  2. Liquid water. The wood is followed up to fibre saturation; capillary
//     uptake beyond it (fast along the fibres) has no published law here.
//  3. Weather inside a month. Climates are monthly means.
//  4. Heat flow. A piece is taken at one temperature, the mean of its faces.
//  5. Species differences of the equilibrium; one curve serves all woods.
package moisture
