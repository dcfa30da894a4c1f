package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"

	"reconcile/internal/flow"
	"reconcile/internal/issue"
	"reconcile/internal/record"
	"reconcile/internal/words"
)

// prior is what was issued last under a job's name, and where it is.
type prior struct {
	path         string
	number, date string
	outfit       record.Outfit // its marks and owner
	sha256       string        // of its record
	line         *issue.Line
	replaces     *record.Replaces // what it amends, by the register
	reasons      []string         // why it, and those before it, amend
	old          *existing        // nil: the file is gone
}

// priorOf finds what was issued last under the name of a summary: by the
// register, or by a signed or numbered file that the register does not hold.
// It is nil where nothing was.
func (p *output) priorOf(reg *register, path, job string) (*prior, error) {
	name := filepath.Base(path)
	lines := reg.issued(name, "")
	last := &prior{path: path}
	switch {
	case len(lines) > 0 && (lines[0].Replaces != "" || lines[0].Job != words.CellText(job)):
		first := &lines[0]
		return nil, fmt.Errorf("%q: the name is taken by number %q, issued on %s for job %q (want another job name)", path, first.Number, dateOf(first.IssuedAt), first.Job)
	case len(lines) == 0:
		old, err := lookAt(path)
		if err != nil || old == nil || !old.issued() {
			return nil, err
		}
		if last.old = old; old.record == nil || !old.intact {
			return nil, notAsFinished(path)
		}
		last.readFile()
		lines = reg.issued(name, last.ref())
	}
	for _, l := range lines {
		last.follow(l)
	}
	if err := last.look(); err != nil {
		return nil, err
	}
	return last, last.followFiles(reg, name)
}

// notAsFinished refuses to go on from an issued file that is not intact.
func notAsFinished(path string) error {
	return fmt.Errorf("%q is signed or numbered and not as it was finished; such a file is never replaced (want another --out)", path)
}

// issuedBefore is what was issued under a job's name, if anything, and whether
// its record is the job's.
type issuedBefore struct {
	path   string
	last   *prior       // nil: nothing was
	result *flow.Result // of what was issued
	same   bool
	err    error
}

// lookBefore finds what was issued for a job. It may be called side by side: no
// two jobs of a run have one name.
func (run *summaries) lookBefore(f opened, found *flow.Found) issuedBefore {
	b := issuedBefore{path: run.output.path(f, found.Job.Name, run.several)}
	b.last, b.err = run.output.priorOf(run.output.registerOf(f), b.path, found.Job.Name)
	if b.err == nil && b.last != nil {
		b.result, b.same, b.err = b.last.same(found, run.asIssuing())
	}
	return b
}

// readFile takes what an issued file says that no register holds.
func (l *prior) readFile() {
	r := l.old.record
	l.number, l.date, l.outfit, l.sha256 = r.Issuer.Number, r.Options.Issued, r.Outfit, sumOf(l.old.line)
	if r.Replaces != nil {
		l.reasons = append(l.reasons, r.Replaces.Because)
	}
}

// ref is how an amendment's line of the register names it.
func (l *prior) ref() string { return words.CellText(cmp.Or(l.number, l.sha256)) }

// follow goes on to a line of the register, which amends the one before.
func (l *prior) follow(line issue.Line) {
	if line.Replaces != "" {
		l.replaces = &record.Replaces{Number: l.number, RecordSHA256: l.sha256, Because: words.TextOfCell(line.Because)}
		l.reasons = append(l.reasons, l.replaces.Because)
	}
	l.path = filepath.Join(filepath.Dir(l.path), words.TextOfCell(line.File))
	l.number, l.date, l.outfit, l.sha256 = words.TextOfCell(line.Number), dateOf(line.IssuedAt), record.Outfit{Owner: line.Owner, VehicleID: line.VehicleID, TrailerID: line.TrailerID}, line.RecordSHA256
	l.line, l.old = &line, nil
}

// followFiles goes on to the amendments of a file that the register has lost, and to
// what amends those. The chain does not protect its last line, and the summaries
// themselves say what they amend. One that is not as it was finished stops its job:
// what was issued last, nobody knows.
func (l *prior) followFiles(reg *register, name string) error {
	for n := 2; ; n++ {
		amended := issue.AmendedName(name, n)
		if lines := reg.issued(amended, ""); len(lines) > 0 {
			if lines[0].Replaces != l.ref() {
				continue
			}
			l.follow(lines[0])
			if err := l.look(); err != nil {
				return err
			}
			continue
		}
		path := filepath.Join(filepath.Dir(l.path), amended)
		old, err := lookAt(path)
		if err != nil || old == nil {
			return nil
		}
		r := old.record
		amends := r != nil && r.Replaces != nil && r.Replaces.RecordSHA256 == l.sha256
		switch {
		case old.issued() && (r == nil || amends && !old.intact):
			return notAsFinished(path)
		case amends && old.intact:
			l.path, l.old, l.line = path, old, nil
			l.readFile()
		}
	}
}

// look reads the file of a line of the register. One that is not as it was
// issued stops its job: nobody knows what it said.
func (l *prior) look() error {
	if l.line == nil {
		return nil
	}
	old, err := lookAt(l.path)
	if err != nil || old == nil {
		return err
	}
	if !asIssued(old.pdf, l.line.FileSHA256) || !old.intact || old.record == nil {
		return fmt.Errorf("%q is not as it was issued (%s): its hash is not that of the register\nhint: put back the file that was issued", l.path, l.called())
	}
	l.old = old
	return nil
}

// called names what was issued in a message.
func (l *prior) called() string {
	parts := []string{}
	if l.number != "" {
		parts = append(parts, "number "+l.number)
	}
	if l.date != "" {
		parts = append(parts, "issued on "+l.date)
	}
	if len(parts) == 0 {
		return "signed"
	}
	return strings.Join(parts, ", ")
}

// fate says what became of the file.
func (l *prior) fate() string {
	if l.old == nil {
		return "; that file is gone, and the hash of its record in the register is not that of this job"
	}
	return ", which was issued and is never replaced"
}

// dateOf is the day of a time of the register.
func dateOf(at string) string {
	at = words.TextOfCell(at)
	return at[:min(len(at), len("2026-03-14"))]
}

// same says whether a job's record is the one that was issued, and gives that
// one. Where the file is gone the hash of the register decides.
func (l *prior) same(found *flow.Found, o flow.Options) (*flow.Result, bool, error) {
	if l.old == nil {
		return l.sameHash(found, o)
	}
	r, err := found.Result(o)
	if err != nil {
		return nil, false, err
	}
	say := words.Of(l.old.record, nil)
	say.Earlier = r.Say.Earlier
	return &flow.Result{Record: l.old.record, Say: say, Line: l.old.line}, sameRecord(r.Record, l.old.record), nil
}

// ofAnIssue are the keys in which a record may differ from the one that was issued: what
// issuing gives (next_number too, from which the number comes), the version of the
// program, inputs, and every number of a line, which an outfit typed in between moves.
var ofAnIssue = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(program|replaces|inputs|options\.(issued|signed_by)|issuer\.(number|next_number))\b|\.(line|at_line|lines\[[0-9]+\])$`)
})

// sameRecord says whether two records say the same of the same job.
func sameRecord(a, b *record.Record) bool {
	for _, d := range record.Differences(a, b) {
		if !ofAnIssue().MatchString(d.Path) {
			return false
		}
	}
	return true
}

// sameHash builds the record again with what the register says that it was
// given, signed by nobody or by whoever signs now.
func (l *prior) sameHash(found *flow.Found, o flow.Options) (*flow.Result, bool, error) {
	o.Number, o.Replaces = l.number, l.replaces
	unsigned := o
	if unsigned.SignedBy, unsigned.Issued = nil, ""; len(l.line.IssuedAt) == len("2026-03-14") {
		unsigned.Issued = l.date
	}
	signed := o
	signed.Issued = l.date
	var last *flow.Result
	for _, given := range []flow.Options{unsigned, signed} {
		r, err := found.Result(given)
		if err != nil {
			return nil, false, err
		}
		if last = r; sumOf(r.Line) == l.sha256 {
			return r, true, nil
		}
	}
	return last, false, nil
}

// because is why an amendment may be issued: what the flag says, else what
// outfit.csv does, where it was not said of an amendment before.
func (l *prior) because(flag, form string) string {
	switch {
	case flag != "":
		return flag
	case slices.Contains(l.reasons, form):
		return ""
	}
	return form
}
