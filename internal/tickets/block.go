package tickets

import (
	"fmt"
	"slices"
	"sync"
)

// blockJobs is how many jobs are read in one go: headers, and the lines that
// hold for every job, are then taken apart once for all of them.
const blockJobs = 16

// keptBlocks is how many blocks are kept for those who still ask for them.
const keptBlocks = 4

// block is a run of jobs, read.
type block struct {
	read   sync.Once
	number int
	jobs   map[string]*Job
	faults map[string][]Fault
	err    error
}

// blocks are those read last.
type blocks struct {
	sync.Mutex
	kept []*block
}

// get gives a block, read by whoever asks first; the others wait for it.
func (b *blocks) get(number int, read func(*block)) *block {
	b.Lock()
	i := slices.IndexFunc(b.kept, func(k *block) bool { return k.number == number })
	if i < 0 {
		if len(b.kept) == keptBlocks {
			b.kept = slices.Delete(b.kept, 0, 1)
		}
		b.kept = append(b.kept, &block{number: number})
		i = len(b.kept) - 1
	}
	k := b.kept[i]
	b.Unlock()
	k.read.Do(func() { read(k) })
	return k
}

// readBlock reads the jobs of a block.
func (x *Index) readBlock(b *block) {
	from := b.number * x.perBlock
	to := min(from+x.perBlock, len(x.Order))
	res, err := x.read(from, to)
	if err == nil && !sameJobs(res.Order, x.Order[from:to]) {
		err = fmt.Errorf("jobs %q to %q: the forms were changed while they were read", x.Order[from], x.Order[to-1])
	}
	if err != nil {
		b.err = err
		return
	}
	b.jobs, b.faults = map[string]*Job{}, map[string][]Fault{}
	for i := range res.Jobs {
		b.jobs[res.Jobs[i].Name] = &res.Jobs[i]
	}
	for _, f := range res.Faults {
		if !x.reader.sink.seen[f] {
			b.faults[f.Job] = append(b.faults[f.Job], f)
		}
	}
}

// sameJobs says whether two lists hold the same names, in any order: a block
// holds its lines in the order of the form, in which jobs may mix.
func sameJobs(a, b []string) bool {
	return slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}
