// Package graph has what the drawings of all packages share: the two faces that text is
// set in, and axes. It takes the place of gonum's own plot package, which compiles in a
// dozen faces and every format of paper: five megabytes of the program.
package graph
