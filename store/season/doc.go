// Package season adds up reports: tallies, intervals, tests, histories of tagged
// fish. Its functions are pure: they read reports and give figures.
package season
