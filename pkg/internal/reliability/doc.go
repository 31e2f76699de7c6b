// Package reliability turns scatter of inputs into a probability of failure.
//
// A limit state g(x) says what fails: g < 0. The variables x are independent,
// normal or lognormal, and each is a function of one standard normal variable u
// of its own. In the space of u the nearest point of the surface g = 0 to the
// origin lies at the distance β, the reliability index of Hasofer and Lind
// (Journal of the Engineering Mechanics Division, ASCE 100, 1974; from memory),
// and the first-order probability of failure is Φ(−β). The unit vector α points
// from the origin to that point; α_i² says how much of the uncertainty that
// matters comes from variable i.
//
//   - FORM searches that point (improved HL-RF), with sensitivities.
//   - MeanValue makes do with one gradient at the mean point.
//   - Sample counts failures in a seeded Monte Carlo run, the same whatever the
//     number of workers.
//   - SimpleBounds and DitlevsenBounds bound the probability that at least one of
//     several limit states fails.
//
// A probability of this package is one of the model it is given: what the model
// leaves out has no chance in it.
//
// Missing: 1. correlation between the basic variables (write them as functions
// of independent ones). 2. curvature of the limit state. 3. several design points
// of one limit state: the search finds one, from the start it is given.
package reliability
