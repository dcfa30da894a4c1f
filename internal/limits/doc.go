// Package limits holds every solved load against every rating of a job: which
// rating lines are in force, what each is held against in each state and
// region, the verdict of each check and of the job, and beside them guides of
// common practice, cautions, headroom and payloads. The tables of the trade
// (load index, usual ratings, guides, what a rating limits) are data. Limits
// and values are kilograms; a D-value is in kilonewtons. u is a standard
// uncertainty, U = 2u the expanded one.
//
// The package refuses nothing: what a form may say was settled when it was
// read. Where something is not known it says so (not_weighed, not given) and
// never lets a missing number pass for a load within its limit.
package limits
