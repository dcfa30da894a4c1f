package tickets

import (
	"bytes"
	"fmt"
	"slices"
)

// collect gathers what each form gave to the job, and the copies named.
func (j *jobReader) collect() {
	for k, f := range j.forms {
		if f == nil || f.broken {
			continue
		}
		if spans := f.spansOf(j.own[k]); len(spans) > 0 {
			j.job.Inputs = append(j.job.Inputs, f.input(j.desk, j.memory, spans))
		}
	}
	j.checkSize()
	j.collectCopies()
}

// MaxJob is the most that the forms of one job may be together: 200 readings and
// all that is said of them take some tens of thousands of bytes.
var MaxJob = struct{ Bytes, Lines int }{4 << 20, 40_000}

// SizeOf is the size of forms in bytes, and at least their number of lines, in
// whatever encoding.
func SizeOf(forms ...[]byte) (size, lines int) {
	for _, b := range forms {
		size += len(b)
		lines += bytes.Count(b, []byte("\n")) + bytes.Count(b, []byte("\r")) + 1
	}
	return size, lines
}

// checkSize refuses a job whose forms are larger than those of any job, in the
// form that makes them so: they are attached to its summary, and verify reads
// no more.
func (j *jobReader) checkSize() {
	size, lines := 0, 0
	for _, in := range j.job.Inputs {
		size += len(in.Bytes) + 1
	}
	if size <= min(MaxJob.Bytes, MaxJob.Lines) {
		return // nor can there be more lines
	}
	size = 0
	for _, in := range j.job.Inputs {
		s, l := SizeOf(in.Bytes)
		if size, lines = size+s, lines+l; size > MaxJob.Bytes || lines > MaxJob.Lines {
			j.found.add(Fault{File: in.File, Line: 1, Column: 1, Job: j.job.Name,
				What:   fmt.Sprintf("with this form the forms of the job have %d bytes and up to %d lines", size, lines),
				Wanted: fmt.Sprintf("at most %d bytes and %d lines", MaxJob.Bytes, MaxJob.Lines), Hint: "delete notes and lines that the job does not need"})
			return
		}
	}
}

// collectCopies lists the copies that the attached lines name, also those of
// scales that no reading names, so that what is attached names nothing that is
// not. Copies that are too large together are refused where the sum passes the
// limit.
func (j *jobReader) collectCopies() {
	var cells []cell
	add := func(c cell) {
		if !c.blank() {
			cells = append(cells, c)
		}
	}
	for _, l := range j.lines {
		add(l.row.Copy)
	}
	for i := range j.ratings {
		add(j.ratings[i].row.Copy)
	}
	scales := j.scales.all()
	for i := range scales {
		add(scales[i].row.Copy)
	}
	total := int64(0)
	for _, c := range cells {
		name := c.text()
		if slices.Contains(j.job.Copies, name) {
			continue
		}
		j.job.Copies = append(j.job.Copies, name)
		if j.copies == nil {
			continue
		}
		size, _ := j.copies(name)
		before := total
		if total += size; total > mostCopies && before <= mostCopies {
			j.refuse(c, fmt.Sprintf("%s makes the copies of this job %d bytes", c.shown(), total), fmt.Sprintf("at most %d together, which is 60 MB", mostCopies), "save the photos or scans smaller")
		}
	}
}

// spansOf gives where the lines that hold for a job are, in the order of the form,
// of which some are its own.
func (f *form) spansOf(own []span) []span {
	switch {
	case len(f.noJob) == 0:
		return own
	case len(own) == 0:
		return f.noJob
	}
	both := append(slices.Clone(own), f.noJob...)
	slices.SortStableFunc(both, func(a, b span) int { return int(a.first - b.first) })
	return both
}

// input is the entire form where every line holds for the job, else its mark,
// its header and the lines that hold, byte for byte.
func (f *form) input(d *desk, m *memory, spans []span) input {
	switch {
	case f.entire != nil:
		return *f.entire
	case len(spans) == f.total:
		return f.whole()
	}
	all := d.spans.List(1 + len(spans))
	all[0] = span{int32(f.first), int32(f.last)}
	copy(all[1:], spans)
	size, lines := len(f.src.mark), 0
	for _, s := range all {
		from, to := f.src.extent(s)
		size, lines = size+to-from, lines+int(s.last-s.first)+1
	}
	in := input{File: f.spec.name, Bytes: append(m.bytes.List(size)[:0], f.src.mark...), Lines: m.runs.List(lines)[:0]}
	for _, s := range all {
		in.Bytes = f.src.appendLines(in.Bytes, s)
		for l := s.first; l <= s.last; l++ {
			in.Lines = appendNumber(in.Lines, f.number(int(l)))
		}
	}
	return in
}

// whole is the entire form.
func (f *form) whole() input {
	in := input{File: f.spec.name, Bytes: f.src.bytes()}
	if f.numbers != nil {
		in.Lines = ranges(f.numbers[:f.lineCount()])
	}
	return in
}

// ranges writes line numbers as runs: first and last of each.
func ranges(numbers []int) [][2]int {
	var runs [][2]int
	for _, n := range numbers {
		runs = appendNumber(runs, n)
	}
	return runs
}

// appendNumber adds the next line number to runs.
func appendNumber(runs [][2]int, n int) [][2]int {
	if k := len(runs) - 1; k >= 0 && runs[k][1]+1 == n {
		runs[k][1] = n
		return runs
	}
	return append(runs, [2]int{n, n})
}

// expanded writes runs out; none gives nil, the entire form.
func expanded(runs [][2]int) []int {
	var numbers []int
	for _, r := range runs {
		for n := r[0]; n <= r[1]; n++ {
			numbers = append(numbers, n)
		}
	}
	return numbers
}
