// Package wood knows the woods: how much they shrink, how stiff and how strong
// they are in their own directions, and how those directions lie in a board.
//
// Sources. Shrinkage, strength, elastic ratios and Poisson's ratios are those of
// the Wood Handbook (FPL-GTR-190) and the works named in data/sources.csv. Every
// figure carries the key of its source and its status: seen in print, recalled
// from memory, derived by plain algebra or a fit from seen figures, or estimated.
//
// Axes. L runs along the fibres, R radially from pith to bark, T = L × R. A board
// lies in x–y with z up out of its top face. Angles are degrees counter-clockwise.
//
// Units. Stress and stiffness in MPa (bending modulus in GPa as printed), moisture
// content (MC) in % of the oven-dry mass, shrinkage in % of the green size.
//
// Assumptions. Shrinkage is spread evenly over the moisture below fibre saturation
// (Wood Handbook Equation 13-3). Stiffness and strength follow the middle trends of
// Table 5-14 with moisture. One figure stands for a species: single boards differ by
// the coefficients of variation in data/variation.csv.
//
// Missing:
//  1. Sap- and heartwood, juvenile and reaction wood: no figures by species.
//  2. Separate radial and tangential strength: the handbook prints their mean.
//  3. Tension along the grain: bending strength stands in for it.
//  4. Rolling shear by species: measured for European beech only.
package wood
