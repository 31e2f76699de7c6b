// Package plan works out how a board is made, from stock on arrival to hand-over:
// moisture and waits, the cut list, glue-ups in order, what to leave for flattening,
// surface, care card and calendar. It takes a board file and what the shop has, and
// gives a Plan in which every figure that went in stands with its source.
//
// Waits come from the diffusion model of package moisture, care from a check and
// the windows of the board, lengths and areas from its geometry, habits of the shop
// (allowances, pace, glue times) from data/shop.csv and data/adhesive_use.csv, which
// say where each is common practice.
//
// What is missing, and why:
//  1. How planks divide into sticks: nobody knows the planks before they are bought.
//     The share lost to defects stands for it.
//  2. Machines: only what they take away is counted, not how they are set.
//  3. Working days of a week. Days are counted through.
package plan
