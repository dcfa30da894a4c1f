// Package limits compares every solved load of a job with every rating: which
// rating lines are in force, which load each limits in each state and region,
// the verdict of each check and of the job, the questions to ask before the
// answer may be within, and next to them guides of common practice, cautions,
// headroom, levers, the trip, the hitch range and payloads. It hands over codes
// and numbers, not sentences.
//
// The tables of the trade (load index, what a rating limits) are data; what
// differs by region is in package regions. Limits and values are kilograms; a
// D-value is in kilonewtons. u is a standard uncertainty, U = 2u the expanded
// one. What is computed here is rounded as the numbers of a solution are,
// before anything is compared.
//
// The package refuses nothing: what a form may say was settled when it was
// read. Where something is not known it says so (not_weighed, not given) and
// never lets a missing number pass for a load within its limit.
package limits
