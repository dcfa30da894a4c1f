package record

import (
	"crypto/sha256"
	"encoding/hex"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/derive/mistakes"
	"reconcile/internal/limits"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// EarlierFile is the name under which the record of an earlier visit is attached.
const EarlierFile = "earlier.json"

// Parts are what a record is built of: what was given, what was derived and
// compared with the ratings, and what was tried beyond the job as typed.
type Parts struct {
	Program  string
	Options  Options // Region is taken from the job
	Number   string  // of the summary; "" where none is given
	Replaces *Replaces
	Copies   []File // the copies that the job's lines name, in their order
	Earlier  []byte // the record of an earlier visit, as attached; nil without one

	Job      *tickets.Job
	Solution *derive.Solution
	Findings *limits.Findings

	Mistakes   []mistakes.Mistake // of a conflict
	Stopped    bool               // the search for them stopped at its bound
	OverAnyway []*limits.Check    // over under every one of them
	Advice     *adjust.Advice
	Plan       *adjust.Plan // nil where none was looked for
}

// File is an attached file.
type File struct {
	Name  string
	Bytes []byte
}

// Build makes the record of a job. It is complete: nothing is added to it
// afterwards.
func Build(p Parts) *Record {
	job, f := p.Job, p.Findings
	r := &Record{
		Schema: recordSchema, Program: p.Program, Model: model, Job: job.Name, Options: p.Options,
		Replaces: p.Replaces, Issuer: issuerOf(job, p.Number), Inputs: p.inputs(),
	}
	r.Options.Region = job.Region
	r.buildSolution(job, p.Solution)
	onlyTies := r.buildResults(p.Solution, f)
	r.buildFindings(job, f)
	r.Mistakes, r.MistakesComplete, r.Advice = mistakesOf(job, p.Mistakes), !p.Stopped, []Advice{}
	if p.Advice != nil {
		r.Advice = adviceOf(job, f, p.Advice)
	}
	if p.Plan != nil {
		r.Plan = planOf(job.Name, p.Plan, f)
	}
	r.Footnotes = r.footnotesOf(job, p.Solution, f)
	n := counts{given: f.Given, usualKnown: f.UsualKnown, usualAll: f.UsualAll, onlyTies: onlyTies, found: f.Checks}
	for _, c := range p.OverAnyway {
		n.overAnyway = append(n.overAnyway, checkKeyOf(c))
	}
	if f.Governing != nil {
		key := checkKeyOf(f.Governing)
		r.Governs = &key
	}
	r.Do = r.doOf(n)
	return r
}

// Sign is the verdict that the sign and colour beside line 1 stand for: the one as
// weighed, or where that is within, what becomes of it over the trip.
func (r *Record) Sign() string {
	switch {
	case r.Verdict != string(limits.Within) || r.Trip == nil || r.Trip.Verdict == string(limits.Within):
		return r.Verdict
	case r.Trip.Verdict == string(limits.Over):
		return r.Trip.Verdict
	}
	return string(limits.Unsettled) // not known too
}

func issuerOf(job *tickets.Job, number string) issuer {
	i := &job.Issuer
	return issuer{i.Name, i.Address, i.Licence, i.Phone, i.Email, i.NextNumber, number}
}

// inputs hashes what is attached: the job's part of each form, the copies, and
// the earlier record.
func (p *Parts) inputs() []input {
	inputs := make([]input, 0, len(p.Job.Inputs)+len(p.Copies)+1)
	for _, in := range p.Job.Inputs {
		inputs = append(inputs, inputOf(in.File, in.Bytes, in.Lines))
	}
	for _, f := range p.Copies {
		inputs = append(inputs, inputOf(f.Name, f.Bytes, nil))
	}
	if p.Earlier != nil {
		inputs = append(inputs, inputOf(EarlierFile, p.Earlier, nil))
	}
	return inputs
}

// inputOf names a file that is attached, with the hash of its bytes and the
// lines of the form that it holds; none is the entire file.
func inputOf(file string, b []byte, lines [][2]int) input {
	sum := sha256.Sum256(b)
	return input{File: file, SHA256: hex.EncodeToString(sum[:]), Lines: every(lines)}
}

// checkKeyOf names a check as the record does.
func checkKeyOf(c *limits.Check) checkKey { return checkKey{c.Rating, c.On, string(c.State)} }

// ratingKeys names ratings as the record does.
func ratingKeys(all []regions.On) []RatingKey {
	keys := make([]RatingKey, 0, len(all))
	for _, k := range all {
		keys = append(keys, RatingKey(k))
	}
	return keys
}

// argsOf are a finding's arguments.
func argsOf(a *limits.Args) Args {
	args := Args{
		Rating: a.Rating, On: a.On, State: a.State, Set: a.Set, Other: a.Other, OtherOn: a.OtherOn, Of: a.Of,
		Column: a.Column, Name: a.Name, Typed: a.Typed, Kg: a.Kg, UKg: a.UKg, LimitKg: a.LimitKg,
		Value: a.Value, U: a.U, Limit: a.Limit, Number: a.Number, Lines: a.Lines, Names: a.Names,
	}
	if len(a.Ratings) > 0 {
		args.Ratings = ratingKeys(a.Ratings)
	}
	return args
}
