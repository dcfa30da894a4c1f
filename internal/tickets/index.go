package tickets

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
)

// Source is one form where it lies; Index reads it in parts.
type Source struct {
	Name string
	At   io.ReaderAt
	Size int64
}

// Index is a folder of many jobs, each read when it is asked for. It keeps 16
// bytes a line, the names of the jobs, and the lines that hold for every job.
// Its methods may be called side by side.
type Index struct {
	// HasJobs, Order and NextNumber are those of a Result.
	HasJobs    bool
	Order      []string
	NextNumber string
	// Faults are those of the forms as a whole and of the lines that hold for
	// every job; those of a job come with it.
	Faults []Fault

	reader   *reader
	forms    []*indexed
	numbers  issued
	whole    map[string]*Job // where the forms had to be read whole
	blocks   blocks
	perBlock int // jobs read in one go
}

// indexed is one form of an Index.
type indexed struct {
	source Source
	spec   *spec
	head   []byte  // the mark and the lines of the header
	lines  []int   // their numbers
	sign   byte    // the first decimal sign
	total  int     // lines that hold something
	own    []entry // of jobs, in the order of the jobs, then of the form
	from   []int32 // where the lines of each job start in own; one more than jobs
	shared []part  // lines that hold for every job
	stray  []entry // lines of jobs that tickets.csv does not have, or of none
	whole  []byte  // all bytes, where every line holds for every job
}

// part is a line and its bytes.
type part struct {
	entry
	bytes []byte
}

// issued gives the numbers of the summaries: those of the line without a job
// count through the jobs that have none of their own.
type issued struct {
	base string
	own  []int32 // jobs with a number of their own, in order
	last string  // the one after that of the last such job
}

// NewIndex goes through the forms once. It fails where a source cannot be
// read. The jobs, their faults and their order are those that Read gives.
// Folders of one job, two-byte text and forms with a fault of the whole file
// are read whole.
func NewIndex(sources []Source, o Options) (*Index, error) {
	x := &Index{reader: &reader{options: o, sink: newSink(), hasJobs: true}, HasJobs: true, perBlock: blockJobs}
	switch err := x.scan(sources); {
	case errors.Is(err, errWhole):
		return readWhole(sources, o)
	case err != nil:
		return nil, err
	}
	x.Faults = x.reader.sink.sorted()
	return x, nil
}

// readWhole reads what cannot be read in parts.
func readWhole(sources []Source, o Options) (*Index, error) {
	var forms []Form
	for _, s := range sources {
		b, err := readAt(s, 0, s.Size)
		if err != nil {
			return nil, err
		}
		forms = append(forms, Form{Name: s.Name, Bytes: b})
	}
	res := Read(forms, o)
	x := &Index{HasJobs: res.HasJobs, Order: res.Order, NextNumber: res.NextNumber, Faults: res.Faults, whole: map[string]*Job{}}
	for i := range res.Jobs {
		x.whole[res.Jobs[i].Name] = &res.Jobs[i]
	}
	return x, nil
}

func readAt(s Source, offset, size int64) ([]byte, error) {
	b := make([]byte, size)
	if n, err := s.At.ReadAt(b, offset); err != nil && !(err == io.EOF && int64(n) == size) {
		return nil, fmt.Errorf("form %s: %w", s.Name, err)
	}
	return b, nil
}

// scan goes through tickets.csv first: it names the jobs.
func (x *Index) scan(sources []Source) error {
	seen := map[*spec]bool{}
	for _, s := range sources {
		rank := formRank(s.Name)
		if rank == len(specs) || seen[specs[rank]] {
			return errWhole
		}
		seen[specs[rank]] = true
		x.forms = append(x.forms, &indexed{source: s, spec: specs[rank]})
	}
	if !seen[specs[0]] {
		return errWhole
	}
	slices.SortStableFunc(x.forms, func(a, b *indexed) int { return formRank(a.spec.name) - formRank(b.spec.name) })
	g := &gathering{index: x, jobs: map[string]int32{}, folded: map[string]int32{}, sets: map[string]bool{}, ways: map[string]int32{}}
	for _, f := range x.forms {
		if err := g.form(f); err != nil {
			return err
		}
	}
	if len(x.Order) == 0 || slices.ContainsFunc(x.forms, func(f *indexed) bool { return len(f.shared)*len(x.Order) > mostShared }) {
		return errWhole // a fault of a form
	}
	x.reader.order = x.Order
	if err := g.check(); err != nil {
		return err
	}
	x.NextNumber = x.numbers.next(len(x.Order))
	return nil
}

// Job reads job i of Order: the job, nil where it is stopped, and those of its
// faults that Faults does not tell. It fails where a source cannot be read.
// Asked for in order, jobs are read a block ahead.
func (x *Index) Job(i int) (*Job, []Fault, error) {
	name := x.Order[i]
	if x.whole != nil {
		return x.whole[name], nil, nil
	}
	n := i / x.perBlock
	b := x.blocks.get(n, x.readBlock)
	if i%x.perBlock == 0 && (n+1)*x.perBlock < len(x.Order) {
		go x.blocks.get(n+1, x.readBlock)
	}
	if b.err != nil {
		return nil, nil, b.err
	}
	faults := b.faults[name]
	job := b.jobs[name]
	if job == nil || x.reader.sink.all || x.reader.sink.stopped[name] {
		return nil, faults, nil
	}
	if n := x.numbers.of(int32(i)); n != "" {
		job.Issuer.Number = n
	}
	return job, faults, nil
}

// read reads jobs from their own lines and those that hold for every job, which
// are all that Read looks at for them.
func (x *Index) read(from, to int) (Result, error) {
	o := x.reader.options
	o.Set = ""
	var forms []Form
	for _, f := range x.forms {
		form, err := f.cut(from, to)
		if err != nil {
			return Result{}, err
		}
		if form.Bytes != nil {
			forms = append(forms, form)
		}
	}
	return Read(forms, o), nil
}

// cut gives what a form holds for some jobs; no bytes where that is nothing.
func (f *indexed) cut(from, to int) (Form, error) {
	own := f.own[f.from[from]:f.from[to]]
	switch n := len(own) + len(f.shared); {
	case n == 0:
		return Form{}, nil
	case n < f.total:
		return f.part(own, f.shared)
	case f.whole != nil:
		return Form{Name: f.source.Name, Bytes: f.whole, sign: f.sign}, nil
	}
	b, err := readAt(f.source, 0, f.source.Size)
	return Form{Name: f.source.Name, Bytes: b, sign: f.sign}, err
}

// part gives the header with some lines below it, in the order of the form.
func (f *indexed) part(own []entry, shared []part) (Form, error) {
	parts, err := f.read(own)
	if err != nil {
		return Form{}, err
	}
	parts = append(parts, shared...)
	slices.SortFunc(parts, func(a, b part) int { return cmp.Compare(a.line, b.line) })
	size := len(f.head)
	for _, p := range parts {
		size += len(p.bytes)
	}
	b := append(make([]byte, 0, size), f.head...)
	lines := append(make([]int, 0, len(f.lines)+len(parts)), f.lines...)
	for _, p := range parts {
		b = append(b, p.bytes...)
		lines = p.number(lines)
	}
	return Form{Name: f.source.Name, Bytes: b, Lines: lines, sign: f.sign}, nil
}

// number adds the numbers of the lines that a part spans.
func (p part) number(lines []int) []int {
	feeds := bytes.Count(p.bytes[:len(p.bytes)-1], []byte{'\n'})
	for n := range feeds + 1 {
		lines = append(lines, int(p.line)+n)
	}
	return lines
}

// read reads lines, neighbours in one go.
func (f *indexed) read(lines []entry) ([]part, error) {
	parts := make([]part, 0, len(lines))
	for i := 0; i < len(lines); {
		k := i + 1
		for k < len(lines) && lines[k].offset == lines[k-1].end() {
			k++
		}
		start := lines[i].offset
		b, err := readAt(f.source, int64(start), int64(lines[k-1].end()-start))
		if err != nil {
			return nil, err
		}
		for ; i < k; i++ {
			at := lines[i].offset - start
			parts = append(parts, part{lines[i], b[at : at+lines[i].size]})
		}
	}
	return parts, nil
}

// of is the number of a job that takes it from the line without a job.
func (n *issued) of(job int32) string {
	before, own := slices.BinarySearch(n.own, job)
	if own || n.base == "" {
		return ""
	}
	return countUpBy(n.base, int(job)-before)
}

// next is what next_number has to become after n jobs.
func (n *issued) next(jobs int) string {
	if counted := jobs - len(n.own); n.base != "" && counted > 0 {
		return countUpBy(n.base, counted)
	}
	return n.last
}

// countUpBy counts a number up n times.
func countUpBy(number string, n int) string {
	digits := []byte(number)
	i := len(digits) - 1
	for ; n > 0 && i >= 0 && digits[i] >= '0' && digits[i] <= '9'; i-- {
		n += int(digits[i] - '0')
		digits[i] = byte('0' + n%10)
		n /= 10
	}
	if n == 0 {
		return string(digits)
	}
	return fmt.Sprintf("%s%d%s", digits[:i+1], n, digits[i+1:])
}
