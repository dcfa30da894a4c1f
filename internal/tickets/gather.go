package tickets

import (
	"io"
	"slices"
	"strings"
)

// gathering is an Index while its forms are gone through.
type gathering struct {
	index  *Index
	jobs   map[string]int32
	folded map[string]int32 // job names without regard to case
	alike  []twin
	sets   map[string]bool  // named in the column set
	ways   map[string]int32 // a job for each way to read the shared lines
	listed map[int32]bool   // jobs with a line in the form that has one a job
	lastAt int32            // the last job with a number of its own
}

// twin is a line that names a job equal to one before but for case.
type twin struct {
	entry
	before string
}

// form goes through one form.
func (g *gathering) form(f *indexed) error {
	s := newScanner(f.source.At, f.source.Size)
	if err := s.readHead(f.source.Name, f.spec); err != nil {
		return err
	}
	h := s.head
	f.head = append(slices.Clone(h.src.raw[:h.src.bom]), h.src.rawLines(h.first, h.last)...)
	for n := h.first; n <= h.last; n++ {
		f.lines = append(f.lines, n)
	}
	if f.spec == specs[0] && !h.hasJobs {
		return errWhole // the folder is one job
	}
	g.listed = map[int32]bool{}
	for {
		l, err := s.nextLine()
		if err == io.EOF {
			break
		}
		if err != nil {
			return err
		}
		g.line(f, h, &l)
	}
	if f.total == 0 && f.spec == specs[0] {
		return errWhole // a fault of the form
	}
	f.sort(len(g.index.Order))
	if len(f.shared) == f.total && f.total > 0 {
		var err error
		f.whole, err = readAt(f.source, 0, f.source.Size)
		return err
	}
	return nil
}

// line files a line under its job.
func (g *gathering) line(f *indexed, h *form, l *scannedLine) {
	f.total++
	if f.sign == 0 && h.sep != ',' {
		f.sign = l.signOf(h)
	}
	if i, ok := h.index["set"]; ok && g.index.reader.options.Set != "" && (f.spec.name == "ratings.csv" || f.spec.name == "loads.csv") {
		g.sets[l.cell(i)] = true
	}
	name := ""
	if i, ok := h.index["job"]; ok {
		name = l.cell(i)
	}
	switch l.job = g.job(f, name, l.entry); {
	case l.job >= 0:
		f.own = append(f.own, l.entry)
	case name == "" && f.spec != specs[0]:
		if len(f.shared) == 0 {
			g.firstShared(f, h, l)
		}
		f.shared = append(f.shared, part{l.entry, []byte(l.text)})
	default:
		f.stray = append(f.stray, l.entry)
	}
	if l.job >= 0 && !g.listed[l.job] {
		g.firstOwn(f, h, l)
	}
}

// job gives the place of a job in the order of tickets.csv, which names them.
func (g *gathering) job(f *indexed, name string, at entry) int32 {
	if name == "" {
		return noJob
	}
	i, ok := g.jobs[name]
	if ok {
		return i
	}
	if f.spec != specs[0] {
		return noJob
	}
	name = strings.Clone(name) // of a line that is not kept
	i = int32(len(g.index.Order))
	g.jobs[name] = i
	g.index.Order = append(g.index.Order, name)
	if before, ok := g.folded[foldJob(name)]; ok {
		g.alike = append(g.alike, twin{at, g.index.Order[before]})
	} else {
		g.folded[foldJob(name)] = i
	}
	return i
}

// signOf gives the first decimal sign of a line.
func (l *scannedLine) signOf(h *form) byte {
	for i, name := range h.header {
		if name == "" || !h.spec.isNumber(name) {
			continue
		}
		c := l.cell(i)
		if at := strings.IndexAny(c, ".,"); at >= 0 && plainNumber.MatchString(c) {
			return c[at]
		}
	}
	return 0
}

// firstOwn takes from the line of a job, in the forms that have one a job, how
// the line without a job is read beside it.
func (g *gathering) firstOwn(f *indexed, h *form, l *scannedLine) {
	switch f.spec.name {
	case "outfit.csv":
		g.listed[l.job] = true
		way := l.way(h)
		if first, ok := g.ways[way]; !ok || l.job < first {
			g.ways[way] = l.job
		}
	case "issuer.csv":
		g.listed[l.job] = true
		g.ownNumber(h, l)
	}
}

// way is all of a job's line that decides how the line without a job is read:
// which of its cells hold, and the units.
func (l *scannedLine) way(h *form) string {
	var b strings.Builder
	for i, name := range h.header {
		c := l.cell(i)
		switch {
		case name == "job" || name == "":
		case name == "region" || name == "length_unit":
			b.WriteString(strings.ToLower(c) + ";")
		case c == "":
			b.WriteByte('-')
		default:
			b.WriteByte('x')
		}
	}
	return b.String()
}

func (g *gathering) ownNumber(h *form, l *scannedLine) {
	i, ok := h.index["next_number"]
	if !ok || l.cell(i) == "" {
		return
	}
	n := &g.index.numbers
	n.own = append(n.own, l.job)
	if c := l.cell(i); trailingDigits.MatchString(c) && (n.last == "" || l.job > g.lastAt) {
		n.last, g.lastAt = countUp(c), l.job
	}
}

// firstShared takes the number to count from.
func (g *gathering) firstShared(f *indexed, h *form, l *scannedLine) {
	if i, ok := h.index["next_number"]; ok && trailingDigits.MatchString(l.cell(i)) {
		g.index.numbers.base = strings.Clone(l.cell(i))
	}
}

// sort files the lines under their jobs; those of a job keep their order.
func (f *indexed) sort(jobs int) {
	f.from = make([]int32, jobs+1)
	for _, e := range f.own {
		f.from[e.job+1]++
	}
	for i := range jobs {
		f.from[i+1] += f.from[i]
	}
	if slices.IsSortedFunc(f.own, func(a, b entry) int { return int(a.job) - int(b.job) }) {
		f.own = slices.Clip(f.own)
		return
	}
	at := slices.Clone(f.from)
	all := make([]entry, len(f.own))
	for _, e := range f.own {
		all[at[e.job]] = e
		at[e.job]++
	}
	f.own = all
}

// check finds the faults that are of no one job: names equal but for case,
// lines of jobs that there are not, a set that there is not, and what is wrong
// with the lines that hold for every job.
func (g *gathering) check() error {
	x := g.index
	slices.Sort(x.numbers.own)
	for _, t := range g.alike {
		if err := x.each(x.forms[0], []entry{t.entry}, func(c cell) { c.jobName(); x.reader.refuseCase(c, t.before) }); err != nil {
			return err
		}
	}
	for _, f := range x.forms {
		if err := g.checkStray(f); err != nil {
			return err
		}
	}
	for _, job := range g.representatives() {
		res, err := x.read(int(job), int(job)+1)
		if err != nil {
			return err
		}
		for _, f := range res.Faults {
			if f.All {
				x.reader.sink.add(f)
			}
		}
	}
	if x.reader.options.Set != "" {
		x.reader.refuseSet(keys(g.sets))
	}
	return nil
}

// checkStray refuses lines of jobs that tickets.csv does not have, and its
// lines of none.
func (g *gathering) checkStray(f *indexed) error {
	seen := map[string]bool{}
	return g.index.each(f, f.stray, func(c cell) {
		switch {
		case f.spec == specs[0]:
			c.require("the job of the line", "delete the column job where the folder holds one job")
		case !seen[c.text]:
			seen[c.text] = true
			g.index.reader.refuseStranger(c)
		}
	})
}

// strayBlock is how many lines that belong to no job are read at once.
const strayBlock = 1000

// each reads lines, checks their shape and hands the cells that name their job over.
func (x *Index) each(f *indexed, lines []entry, do func(cell)) error {
	for block := range slices.Chunk(lines, strayBlock) {
		in, err := f.part(block, nil)
		if err != nil {
			return err
		}
		own := newSink()
		form := readForm(in, f.spec, own)
		own.widen()
		form.faults, form.partial = x.reader.sink, true
		for _, fault := range own.list {
			x.reader.sink.add(fault)
		}
		form.checkSigns()
		for _, r := range form.records {
			do(r.cell(form.index["job"]))
		}
	}
	return nil
}

// representatives are jobs that between them read the lines that hold for
// every job in every way in which any job reads them.
func (g *gathering) representatives() []int32 {
	jobs := []int32{0}
	outfits, numbers := g.index.formOf("outfit.csv"), g.index.numbers.own
	if i := firstWithout(len(g.index.Order), func(i int32) bool { return outfits != nil && outfits.from[i+1] > outfits.from[i] }); i >= 0 {
		jobs = append(jobs, i)
	}
	if i := firstWithout(len(g.index.Order), func(i int32) bool { _, own := slices.BinarySearch(numbers, i); return own }); i >= 0 {
		jobs = append(jobs, i)
	}
	for _, i := range g.ways {
		jobs = append(jobs, i)
	}
	slices.Sort(jobs)
	return slices.Compact(jobs)
}

func firstWithout(n int, has func(int32) bool) int32 {
	for i := range int32(n) {
		if !has(i) {
			return i
		}
	}
	return -1
}

func (x *Index) formOf(name string) *indexed {
	for _, f := range x.forms {
		if f.spec.name == name {
			return f
		}
	}
	return nil
}

func keys(set map[string]bool) []string {
	var all []string
	for s := range set {
		all = append(all, s)
	}
	return all
}
