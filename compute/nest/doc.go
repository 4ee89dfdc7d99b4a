// Package nest lays pieces of tube on sticks: which pieces are cut from which
// stick so that the fewest sticks are bought. It is the cutting-stock problem
// in one dimension, with one length of stick.
//
// The saw takes a kerf with every cut. Pieces are cut one after another from
// the stick's faced end, so n pieces on a stick need n cuts, or n-1 where the
// last piece ends exactly at the stick's end. With C = stick - facing + kerf
// and w = length + kerf that is the plain condition: the sum of w is not over
// C.
//
// Lengths may be in any one unit. Inside they are whole numbers of 1/10,000 of
// that unit (2.5 µm where it is the inch), each rounded to the nearest; from
// there on all is exact, and no sum is wrong by float dust. A stick may be up
// to 100,000 units long, and one task may hold up to 20,000 pieces of up to 1,000
// different lengths.
//
// How a plan is found:
//
//  1. The pieces are laid longest first, each on the first stick, or on the
//     fullest stick, that has room (first fit and best fit decreasing: Johnson,
//     Demers, Ullman, Garey, Graham, "Worst-case performance bounds for simple
//     one-dimensional packing algorithms", SIAM J. Computing 3, 1974); and stick
//     by stick, each as full as it can be (the idea of Gupta and Ho, "A new
//     heuristic algorithm for the one-dimensional bin-packing problem",
//     Production Planning & Control 10, 1999).
//  2. The relaxation in which a pattern may be cut a fraction of a time is
//     solved by column generation (Gilmore and Gomory, "A linear programming
//     approach to the cutting-stock problem", Operations Research 9, 1961),
//     with patterns that hold no more of a length than is wanted. Its value,
//     rounded up, is a bound below which no plan can be.
//  3. Where 1 is above the bound, whole parts of the relaxation are kept and the
//     rest is solved again, some fractions being rounded up on the way, until
//     little enough is left for a search that tries everything.
//  4. At that number of sticks, pieces are moved so that one drop is as long as
//     can be found: one long drop serves better than many short ones.
//
// Up to ten pieces, the plan is the best there is in both respects. Above that,
// Bounds says how near the number of sticks is to the least; the longest drop is
// a good one, not proven to be the longest.
//
// On drawn orders of 10 to 2,000 pieces in up to 60 lengths the number is almost
// always the bound itself. From some 200 lengths on the relaxation may run out
// of steps; a plan is then a few sticks in a hundred over the bound at worst
// seen, and Bounds shows it.
//
// Equal tasks give equal plans: there is no clock and no chance in it. Work is
// limited by counts of steps.
package nest
