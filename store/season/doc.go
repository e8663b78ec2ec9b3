// Package season adds up reports: tallies, intervals, tests, histories of tagged
// fish, and how many fish are alive because they were sent down. Its functions are
// pure: they read reports and give figures, and the same reports and seed give the
// same figures.
//
// The figures are those of reports by anglers, not of an experiment. Which fish was
// released which way was not left to chance, and reporting may differ by method;
// nothing here can mend that, so whoever shows a figure must say it.
package season
