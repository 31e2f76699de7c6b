// Package diagnose looks back: from where, when and how a board opened to what
// most likely opened it.
//
// Every explanation in the catalogue (an exposure of package moisture, a dry or
// a damp season, a mistake at gluing, a poor bond, turned rings, a border that
// holds the field) is run through package check. What it asks of every glue line
// and of the wood of every piece is then compared with what was seen, by
// likelihood:
//
//	score = prior · opens · place · season · age · depth · event · signs
//
// opens and place treat the board as a chain of links whose strengths scatter by
// a Weibull law of modulus m (Weibull 1951; from memory) about the capacity that
// package check gives them. With u_i the utilisation of link i and
// r_i = (Γ(1+1/m)·u_i)^m,
//
//	opens = 1 − exp(−Σ r_i)      something opens at all
//	place = Σ_seen r_i / Σ r_i   it opens first where it was seen, and not elsewhere
//
// m = 4.5 goes with a coefficient of variation of 25 %, that of tension across
// the grain (data/variation.csv). Strengths of one board are taken as
// independent. season, age, depth and event are how often a cause is seen in
// that season, at that age, on that face, together with that event; prior is how
// common the cause is. These are our judgement, no source, and stand in one
// place, weights.go.
//
// signs is how often a board so treated is seen cupped, rocking or open at its ends: the
// chance that the way of failing passes its limit, by the scatter that package check
// gives it; "after washing" is any exposure that wets the board in the kitchen. Of a
// board that is cupped or rocks, and of which nobody says that it opened, opens and
// place are 1.
//
// Two explanations whose scores differ by less than a factor of 3.2 are called
// alike: evidence below that is not worth more than a bare mention (Jeffreys,
// Theory of Probability, 1961; from memory).
//
// How one exposure is told from the others: package check always judges the
// driest and the dampest month of the home as well. So an event that does not
// live from the seasons is run in a home whose twelve months are all that of the
// event; both end states are then what the board had settled to before it.
//
// Seasons are those of the northern half: winter is December to February.
//
// Missing: 1. several causes at once, but for a gluing mistake followed by a
// season, by the event told or, of open ends, by the first heating season. 2. more than one crack at a time. 3. widths of
// cracks. 4. damage that grows from event to event.
package diagnose
