// Package catch is the catch itself: one fish as reported, where and in which
// season it counts, and which fish are wanted. It knows no database: what sums,
// draws, writes or reads catches needs this package and not the store.
package catch
