package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"reconcile/internal/flow"
	"reconcile/internal/issue"
	"reconcile/internal/record"
	"reconcile/internal/signoff"
	"reconcile/internal/words"
)

// turns lets the tasks of a pool through one at a time, in their order. A pool
// that hands tasks out in order always has the one whose turn it is in hand.
type turns struct {
	lock sync.Mutex
	next *sync.Cond
	at   int
}

func newTurns() *turns {
	t := &turns{}
	t.next = sync.NewCond(&t.lock)
	return t
}

// inTurn waits for the turn of task i, and does what is to be done in it.
func (t *turns) inTurn(i int, do func()) {
	t.lock.Lock()
	defer t.lock.Unlock()
	for t.at != i {
		t.next.Wait()
	}
	do()
	t.at++
	t.next.Broadcast()
}

// decision is what is to be done with the summary of a job.
type decision struct {
	path   string
	found  *flow.Found  // of which to build the record
	with   flow.Options // and with what
	result *flow.Result // the issued one that is kept
	kept   *written     // issued before and left as it is
	issue  bool         // signed or numbered, and into the register
	amends *prior
	at     time.Time // of issue
	notes  []string
	err    error
}

// decide says what is to be done with a job's summary. Whoever calls it takes
// turns in the order of the forms: numbers are given here.
func (run *summaries) decide(f opened, found *flow.Found, before issuedBefore) decision {
	d := decision{path: before.path, err: before.err, found: found}
	reg := run.output.registerOf(f)
	reg.lock.Lock()
	defer reg.lock.Unlock()
	switch {
	case d.err != nil:
	case before.last != nil:
		d.after(run, reg, found, before)
	default:
		d.first(run, reg, found)
	}
	if d.err == nil {
		d.err = checkPath(d.path, found.Job.Name)
	}
	return d
}

// numbered says whether issuer.csv gives a job a number.
func (r *register) numbered(found *flow.Found) bool {
	by := &found.Job.Issuer
	return by.Line > 0 && (by.NextNumber != "" || r.Numbered)
}

// first decides where nothing was issued under the name.
func (d *decision) first(run *summaries, reg *register, found *flow.Found) {
	if !run.signing() && !reg.numbered(found) {
		d.plain(run)
		return
	}
	if found.Verdict == conflict && !run.even {
		d.notes = append(d.notes, fmt.Sprintf("%q is neither signed nor numbered: its readings contradict each other (--even-in-conflict, with --sign, issues it all the same)", d.path))
		d.plain(run)
		return
	}
	if d.err = run.mayIssue(reg); d.err != nil {
		return
	}
	old, err := lookAt(d.path)
	if d.err = err; err == nil && old != nil {
		var note string
		if note, d.err = run.output.mayWrite(d.path, *old, recordFor(found)); d.err == nil {
			d.notes = append(d.notes, note)
		}
	}
	if d.err == nil {
		d.give(run, reg, found, nil)
	}
}

const conflict = "conflict"

// recordFor is as much of a job's record as says whose it is.
func recordFor(found *flow.Found) *record.Record {
	o := &found.Job.Outfit
	return &record.Record{Job: found.Job.Name, Outfit: record.Outfit{Owner: o.Owner, VehicleID: o.VehicleID, TrailerID: o.TrailerID}}
}

// mayIssue refuses where nothing is issued in this run any more.
func (run *summaries) mayIssue(reg *register) error {
	switch {
	case run.halted:
		return errors.New("a fault of the forms stops all jobs: nothing is issued in this run")
	case reg.stopped != nil:
		return fmt.Errorf("nothing more is issued in this run: %w", reg.stopped)
	}
	return nil
}

// plain decides for a summary that is neither signed nor numbered.
func (d *decision) plain(run *summaries) {
	d.with = run.options
}

// build builds the record, unless it is the one that was issued. It is done next to
// other jobs, out of turn.
func (d *decision) build() (*flow.Result, error) {
	if d.err != nil || d.result != nil {
		return d.result, d.err
	}
	return d.found.Result(d.with)
}

// give gives a summary its number and day of issue.
func (d *decision) give(run *summaries, reg *register, found *flow.Found, replaces *record.Replaces) {
	d.notes = append(d.notes, reg.countOutside()...)
	o := run.options
	if d.at = run.now(); run.signing() {
		o.SignedBy, o.Issued = run.signedBy(), d.at.Format(time.DateOnly)
	}
	if o.Replaces = replaces; found.Job.Issuer.Line > 0 {
		o.Number = reg.Give(found.Job.Issuer.NextNumber, reg.outside)
	}
	d.issue = true
	d.with = o
}

// after decides where something was issued under the name: the same record is
// not issued again, another one only as an amendment that says why.
func (d *decision) after(run *summaries, reg *register, found *flow.Found, before issuedBefore) {
	last := before.last
	switch because := last.because(run.because, found.Job.Outfit.Because); {
	case before.same:
		d.keep(run, before.result, last)
	case otherOutfit(&last.outfit, &recordFor(found).Outfit):
		d.err = fmt.Errorf("%q was issued for another outfit (%s)\nhint: give this job another name", d.path, last.called())
	case because == "":
		d.err = fmt.Errorf("%s is no longer what %q says (%s)%s\nhint: if the forms are right now, issue an amendment that says why: --because TEXT, or the column because of outfit.csv (a reason not used before)", jobCalled(found.Job.Name), last.path, last.called(), last.fate())
	case !oneLine(because):
		d.err = fmt.Errorf("because %q is not a reason (want one line of plain text)", because)
	case found.Verdict == conflict && !run.even:
		d.err = fmt.Errorf("%q was issued (%s), and its readings now contradict each other: no amendment is issued (--even-in-conflict, with --sign, issues it all the same)", d.path, last.called())
	case !run.signing() && !reg.numbered(found):
		d.err = fmt.Errorf("%q was issued (%s), and an amendment is issued too (want --sign, or next_number in issuer.csv)", d.path, last.called())
	default:
		d.amend(run, reg, found, last, because)
	}
}

// jobCalled names a job in a sentence; the only one of a folder has no name.
func jobCalled(name string) string {
	if name == "" {
		return "the job"
	}
	return fmt.Sprintf("job %q", name)
}

// amend decides for an amendment, under a name of its own.
func (d *decision) amend(run *summaries, reg *register, found *flow.Found, last *prior, because string) {
	if d.err = run.mayIssue(reg); d.err != nil {
		return
	}
	if d.path, d.err = run.output.amendedPath(reg, d.path); d.err != nil {
		return
	}
	d.amends = last
	run.amended++
	d.give(run, reg, found, &record.Replaces{Number: last.number, RecordSHA256: last.sha256, Because: because})
}

// amendedPath is the first free name for an amendment.
func (p *output) amendedPath(reg *register, path string) (string, error) {
	for n := 2; ; n++ {
		name := issue.AmendedName(filepath.Base(path), n)
		free := filepath.Join(filepath.Dir(path), name)
		if reg.holds(name) || p.taken[p.placeKey(free)] != "" {
			continue
		}
		switch _, err := os.Lstat(free); {
		case os.IsNotExist(err):
			p.taken[p.placeKey(free)] = path
			return free, nil
		case err != nil:
			return "", fmt.Errorf("reading %q: %w", free, cause(err))
		}
	}
}

// keep leaves what was issued as it is.
func (d *decision) keep(run *summaries, issued *flow.Result, last *prior) {
	d.path, d.result = last.path, issued
	d.kept = &written{name: filepath.Base(last.path)}
	switch {
	case last.old != nil:
		d.kept.sum = sumOf(last.old.pdf)
	case run.output.resume:
		d.err = fmt.Errorf("%q was issued (%s) and is gone\nhint: put back the file that was issued", last.path, last.called())
		return
	default:
		d.kept.sum = last.line.FileSHA256
		d.notes = append(d.notes, fmt.Sprintf("%q was issued (%s) and is gone", last.path, last.called()))
	}
	if run.output.resume {
		if err := last.old.verified(run.output.signer); err != nil {
			d.err = fmt.Errorf("%q was issued (%s): %w", last.path, last.called(), err)
		}
	} else if run.signing() && last.old != nil && !last.old.signed {
		d.notes = append(d.notes, fmt.Sprintf("%q was issued (%s) and is not signed (reconcile sign signs it)", last.path, last.called()))
	}
}

// signing says whether the run signs.
func (run *summaries) signing() bool { return run.signer != nil }

func (run *summaries) signedBy() *record.Signer {
	return &record.Signer{Name: run.signer.Name, Fingerprint: run.signer.Fingerprint}
}

// asIssuing are the options with who signs now, if anybody does.
func (run *summaries) asIssuing() flow.Options {
	o := run.options
	if run.signing() {
		o.SignedBy = run.signedBy()
	}
	return o
}

// pending is a finished summary under its temporary name, whose line goes into
// the register in its turn.
type pending struct {
	path string
	part *os.File
	row  jobsRow // of the table
	line issue.Line
}

// finish draws and signs a summary to be issued, and writes it under its
// temporary name.
func (d *decision) finish(run *summaries, r *flow.Result) (*pending, written, error) {
	room := summaryRooms.Get().(*[]byte)
	defer summaryRooms.Put(room)
	pdf, sum, err := r.Summary(*room)
	if err != nil {
		return nil, written{}, err
	}
	if cap(pdf) <= largestSummaryRoom {
		*room = pdf
	}
	if run.signing() {
		if pdf, err = signoff.Sign(pdf, run.signer, d.at, signingReason); err != nil {
			return nil, written{}, err
		}
		sum = sumOf(pdf)
	}
	part, err := writePart(d.path, pdf)
	if err != nil {
		return nil, written{}, err
	}
	file := written{filepath.Base(d.path), sum}
	row := rowOf(r.Say, sumOf(r.Line), file.name, file.sum)
	return &pending{d.path, part, row, d.line(run, r, row)}, file, nil
}

// line is the summary's line of the register. Signed, it was issued when it was
// signed; else on the day that it says, or now.
func (d *decision) line(run *summaries, r *flow.Result, row jobsRow) issue.Line {
	l := issue.Line{Number: row.number, IssuedAt: d.at.Format(time.RFC3339), Job: row.job, Owner: row.owner, VehicleID: row.vehicleID, TrailerID: row.trailerID,
		Verdict: row.verdict, Rating: row.rating, On: row.on, MarginKg: row.margin, RecordSHA256: row.recordSHA256, FileSHA256: row.fileSHA256, File: row.file}
	if issued := r.Record.Options.Issued; !run.signing() && issued != "" {
		l.IssuedAt = issued
	}
	if d.amends != nil {
		l.Replaces, l.Because = words.TextOfCell(d.amends.ref()), r.Record.Replaces.Because
	}
	return l
}

// note says what was issued, for whoever hands it out.
func (p *pending) note() string {
	text := "issued: " + shown(p.path)
	if p.line.Number != "" {
		text += ", number " + p.line.Number
	}
	if p.line.Replaces != "" {
		text += ", replaces " + p.line.Replaces
	}
	return text
}

// mostPending is how many summaries are settled together: what is put on the disk
// for one of them serves them all.
const mostPending = 16

// settle puts finished summaries on the disk, then their lines into the register
// and then the files under their names: a run that is ended in between leaves what
// the next one finishes. It gives an error for each that is not issued: of one that
// cannot be written no later one is. Their parts are taken away, but for those whose
// lines may be in the register all the same. Summaries after them are decided meanwhile:
// the lock is not held while the disk is waited for.
func (r *register) settle(all []*pending) []error {
	errs := make([]error, len(all))
	ready := r.onDisk(all, errs)
	in, err := r.append(ready)
	if err != nil {
		errs[0] = r.stop(err)
	}
	for i, p := range all {
		switch {
		case in && i < len(ready):
			if errs[i] = err; err == nil {
				errs[i] = r.stop(r.rename(p.path))
			}
			continue
		case errs[i] == nil:
			errs[i] = fmt.Errorf("%q is not issued: %w", p.path, r.hasStopped())
		}
		if !r.left || i >= len(ready) {
			p.drop()
		}
	}
	if last := len(ready) - 1; last >= 0 && errs[last] == nil {
		errs[last] = r.stop(r.renamed())
	}
	return errs
}

// onDisk puts parts on the disk, up to the first that cannot be. They go there side
// by side: a disk that has several to write is done with them sooner.
func (r *register) onDisk(all []*pending, errs []error) (ready []*pending) {
	if r.hasStopped() != nil {
		return nil
	}
	var written sync.WaitGroup
	for i, p := range all {
		written.Go(func() { errs[i] = onDisk(p.part) })
	}
	written.Wait()
	for i, p := range all {
		if errs[i] != nil {
			errs[i] = r.stop(fmt.Errorf("writing %q: %w", p.path, cause(errs[i])))
			clear(errs[i+1:])
			return all[:i]
		}
	}
	return all
}

// drop takes a part away.
func (p *pending) drop() {
	p.part.Close()
	os.Remove(partOf(p.path))
}

// stop keeps anything more from being issued where one could not be written:
// its number must not be passed over.
func (r *register) stop(err error) error {
	r.lock.Lock()
	defer r.lock.Unlock()
	if err != nil && r.stopped == nil {
		r.stopped = errors.New("a summary before it could not be written")
	}
	return err
}

// hasStopped is why nothing more is issued, nil where something is.
func (r *register) hasStopped() error {
	r.lock.Lock()
	defer r.lock.Unlock()
	return r.stopped
}

// oneLine says whether a text is one that can be printed as it is.
func oneLine(s string) bool {
	return s != "" && strings.TrimSpace(s) == s && words.Escape(s) == s
}
