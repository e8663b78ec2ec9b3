// Package advisor is the pure core of deepward: it turns one question about one
// fish into advice.
//
// In goes a [Query], out comes an [Advice]. The package does no I/O, reads no
// clock, uses no randomness and keeps no state that changes: the same question
// always gets the same answer. The tables it needs (species, gas, evidence) are
// data files embedded beside the code that reads them.
//
// It imports no other package of this module but packed, which unpacks those tables.
package advisor
