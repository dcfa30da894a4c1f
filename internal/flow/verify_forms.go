package flow

import (
	"fmt"
	"io/fs"
	"slices"

	"reconcile/internal/pdfout"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// sizes wants forms and record no larger than those of a job can be, before any
// of them is read.
func (v *verification) sizes() bool {
	size, lines := tickets.SizeOf(v.forms()...)
	switch {
	case size > tickets.MaxJob.Bytes:
		return v.unsound("forms_too_large", "most", tickets.MaxJob.Bytes)
	case lines > tickets.MaxJob.Lines:
		return v.unsound("forms_too_long", "most", tickets.MaxJob.Lines)
	case len(v.line) > mostRecord, len(v.files[record.EarlierFile]) > mostRecord:
		return v.unsound("record_too_large", "most", mostRecord)
	}
	return true
}

// mostRecord bounds the bytes of a record: as many entries as its reader allows,
// each of the longest.
const mostRecord = 16 << 20

// forms are the bytes of the attached forms.
func (v *verification) forms() [][]byte {
	var all [][]byte
	for _, name := range tickets.FormNames() {
		if b, ok := v.files[name]; ok {
			all = append(all, b)
		}
	}
	return all
}

// mostEntries bounds the lists of a record by the lines of its forms: the
// demo jobs have at most 150 entries a line.
func (v *verification) mostEntries() int {
	const least, each = 20_000, 300
	_, lines := tickets.SizeOf(v.forms()...)
	return least + each*lines
}

// named wants the attached files to be those that the record names, byte for
// byte, each once.
func (v *verification) named() bool {
	seen := map[string]bool{pdfout.RecordName: true}
	for _, in := range v.old.Inputs {
		b, ok := v.files[in.File]
		switch {
		case seen[in.File]:
			return v.unsound("input_twice", "file", in.File)
		case !ok:
			return v.unsound("attachment_missing", "file", in.File)
		case hashOf(b) != in.SHA256:
			return v.unsound("attachment_changed", "file", in.File)
		}
		seen[in.File] = true
	}
	for _, name := range v.order {
		if !seen[name] {
			return v.unsound("attachment_unnamed", "file", name)
		}
	}
	v.add(holds, "attachments_same", "number", len(v.old.Inputs))
	return true
}

// rederive derives the record again from the attached forms.
func (v *verification) rederive() bool {
	folder, err := v.folder()
	if err != nil {
		return v.unsound("forms_faulty", "why", clipped(err.Error()))
	}
	o := v.old.Options
	options := Options{
		Program: v.old.Program, Rule: o.Rule, Region: o.Region, Set: o.Set, Issued: o.Issued,
		Paper: o.Paper, Unit: o.Unit, Short: o.Short, SignedBy: o.SignedBy,
		Number: v.old.Issuer.Number, Replaces: v.old.Replaces, Earlier: v.files[record.EarlierFile],
	}
	jobs, faults := Read(folder, options, true).All()
	switch {
	case len(faults) > 0:
		return v.unsound("forms_faulty", "why", clipped(faults[0].Error()))
	case len(jobs) != 1 || jobs[0].Name != v.old.Job:
		return v.unsound("other_job", "job", v.old.Job)
	case !v.number(jobs[0]):
		return false
	}
	if v.again, err = resultOf(jobs[0], folder, options); err != nil {
		return v.unsound("forms_faulty", "why", clipped(err.Error()))
	}
	return true
}

// resultOf is the result of a job. What makes the derivation of hostile forms
// panic is found here.
func resultOf(job *tickets.Job, f Folder, o Options) (r *Result, err error) {
	defer caught(&err)
	found, err := Find(job, f, o, nil)
	if err != nil {
		return nil, err
	}
	r, err = found.Result(o)
	found.Release()
	return r, err
}

// folder is what is attached as a folder of forms and copies.
func (v *verification) folder() (Folder, error) {
	folder := Folder{
		CopySize: func(name string) (int64, error) {
			if b, ok := v.files[name]; ok {
				return int64(len(b)), nil
			}
			return 0, fs.ErrNotExist
		},
		ReadFile: func(name string) ([]byte, error) {
			b, ok := v.files[name]
			if !ok {
				return nil, fmt.Errorf("%q is not attached", name)
			}
			return b, nil
		},
	}
	for _, in := range v.old.Inputs {
		if !slices.Contains(tickets.FormNames(), in.File) {
			continue
		}
		if err := v.checkLines(in.File, in.Lines); err != nil {
			return folder, fmt.Errorf("%s: %w", in.File, err)
		}
		folder.Forms = append(folder.Forms, tickets.Form{Name: in.File, Bytes: v.files[in.File], Lines: in.Lines})
	}
	return folder, nil
}

// checkLines wants the numbers of an attached form's lines to count up, and to be
// no more than it can have.
func (v *verification) checkLines(file string, runs [][2]int) error {
	_, left := tickets.SizeOf(v.files[file])
	for _, run := range runs {
		if run[0] < 1 || run[1] < run[0] || run[1]-run[0] >= left {
			return fmt.Errorf("the line numbers do not fit the lines")
		}
		left -= run[1] - run[0] + 1
	}
	for i := 1; i < len(runs); i++ {
		if first, last := runs[i][0], runs[i][1]; first <= runs[i-1][1] {
			return fmt.Errorf("line numbers [%d,%d] do not count up (first and last of each run, like [[1,1],[4,4],[9,12]])", first, last)
		}
	}
	return nil
}
