package record

import (
	"crypto/sha256"
	"encoding/hex"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/derive/mistakes"
	"reconcile/internal/limits"
	"reconcile/internal/regions"
	"reconcile/internal/shelf"
	"reconcile/internal/tickets"
)

// EarlierFile is the name under which the record of an earlier visit is attached.
const EarlierFile = "earlier.json"

// Parts are what a record is built of: what was given, what was derived and
// compared with the ratings, and what was tried beyond the job as typed.
type Parts struct {
	Program  string
	Options  options // Region is taken from the job
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
// afterwards. Until it is released it is its caller's alone.
func Build(p Parts) *Record {
	job, f := p.Job, p.Findings
	m := memories.Get().(*memory)
	r := &m.record
	shelf.Lend(&r.Lent, r, takeBack)
	r.memory, r.Schema, r.Program, r.Model, r.Job, r.Options = m, recordSchema, p.Program, model, job.Name, p.Options
	r.Replaces, r.Issuer, r.Inputs = p.Replaces, issuerOf(job, p.Number), m.inputsOf(&p)
	r.Options.Region = job.Region
	r.buildSolution(job, p.Solution)
	onlyTies := r.buildResults(p.Solution, f)
	r.buildFindings(job, f)
	r.Mistakes, r.MistakesComplete, r.Advice = mistakesOf(job, p.Mistakes), !p.Stopped, []Advice{}
	if p.Advice != nil {
		r.Advice = m.adviceOf(job, f, p.Advice)
	}
	if p.Plan != nil {
		r.Plan = m.planOf(job.Name, p.Plan, f)
	}
	r.Footnotes = r.footnotesOf(job, p.Solution, f)
	n := counts{given: f.Given, usualKnown: f.UsualKnown, usualAll: f.UsualAll, onlyTies: onlyTies, found: f.Checks}
	for _, c := range p.OverAnyway {
		n.overAnyway = append(n.overAnyway, checkKeyOf(c))
	}
	if f.Governing != nil {
		m.governs = checkKeyOf(f.Governing)
		r.Governs = &m.governs
	}
	r.Do = r.doOf(&n)
	return r
}

func issuerOf(job *tickets.Job, number string) issuer {
	i := &job.Issuer
	return issuer{i.Name, i.Address, i.Licence, i.Phone, i.Email, i.NextNumber, number}
}

// inputsOf hashes what is attached: the job's part of each form, the copies, and
// the earlier record. The lines of a form that a part holds are there; none is the
// entire file.
func (m *memory) inputsOf(p *Parts) []input {
	n := len(p.Job.Inputs) + len(p.Copies)
	if p.Earlier != nil {
		n++
	}
	inputs := every(m.inputs.List(n))
	for i := range p.Job.Inputs {
		in := &p.Job.Inputs[i]
		inputs[i] = input{in.File, hashOf(in.Bytes), every(copied(&m.runs, in.Lines))}
	}
	for i, f := range p.Copies {
		inputs[len(p.Job.Inputs)+i] = input{f.Name, hashOf(f.Bytes), [][2]int{}}
	}
	if p.Earlier != nil {
		inputs[n-1] = input{EarlierFile, hashOf(p.Earlier), [][2]int{}}
	}
	return inputs
}

// hashOf is the SHA-256 of an attached file, lower-case hex.
func hashOf(b []byte) string {
	sum := sha256.Sum256(b)
	var digits [2 * sha256.Size]byte
	hex.Encode(digits[:], sum[:])
	return string(digits[:])
}

// checkKeyOf names a check as the record does.
func checkKeyOf(c *limits.Check) checkKey { return checkKey{c.Rating, c.On, string(c.State)} }

// ratingKeys names ratings as the record does.
func (m *memory) ratingKeys(all []regions.On) []RatingKey {
	keys := every(m.keys.List(len(all)))
	for i, k := range all {
		keys[i] = RatingKey(k)
	}
	return keys
}

// argsOf are a finding's arguments.
func (m *memory) argsOf(a *limits.Args) Args {
	args := Args{
		Rating: a.Rating, On: a.On, State: a.State, Set: a.Set, Other: a.Other, OtherOn: a.OtherOn, Of: a.Of,
		Column: a.Column, Name: a.Name, Typed: a.Typed, Kg: m.number(a.Kg), UKg: m.number(a.UKg), LimitKg: m.number(a.LimitKg),
		Value: m.number(a.Value), U: m.number(a.U), Limit: m.number(a.Limit), Number: known(&m.ints, a.Number),
		Lines: copied(&m.ints, a.Lines), Names: copied(&m.texts, a.Names),
	}
	if len(a.Ratings) > 0 {
		args.Ratings = m.ratingKeys(a.Ratings)
	}
	return args
}
