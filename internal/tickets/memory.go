package tickets

import (
	"sync"

	"reconcile/internal/shelf"
)

// desk is what lines are read on: their cells, and what they say by themselves on the
// way to a job. Once the job is read it is empty for the next.
type desk struct {
	reader  jobReader
	found   sink
	records shelf.Shelf[record]
	texts   shelf.Shelf[string]
	fields  []*cell // of one row
	figures []cell  // of one line
	quoted  quotedReader

	tickets shelf.Shelf[ticketRow]
	ratings shelf.Shelf[ratingRow]
	outfits shelf.Shelf[outfitRow]
	scales  shelf.Shelf[scaleRow]
	loads   shelf.Shelf[loadRow]
	places  shelf.Shelf[placeRow]
	issuers shelf.Shelf[issuerRow]

	lines   shelf.Shelf[ticketLine]
	cells   shelf.Shelf[cell]
	entries shelf.Shelf[ratingEntry]
	sums    shelf.Shelf[summand]
	spans   shelf.Shelf[span]
}

// clear takes all of it off the desk.
func (d *desk) clear() {
	d.reader, d.found = jobReader{}, sink{}
	clear(d.fields)
	clear(d.figures)
	d.records.Clear()
	d.texts.Clear()
	d.tickets.Clear()
	d.ratings.Clear()
	d.outfits.Clear()
	d.scales.Clear()
	d.loads.Clear()
	d.places.Clear()
	d.issuers.Clear()
	d.lines.Clear()
	d.cells.Clear()
	d.entries.Clear()
	d.sums.Clear()
	d.spans.Clear()
}

// desks are empty.
var desks = sync.Pool{New: func() any { return &desk{} }}

// memory is a job and what its lists lie in.
type memory struct {
	job      Job
	readings shelf.Shelf[Reading]
	ratings  shelf.Shelf[Rating]
	loads    shelf.Shelf[Load]
	places   shelf.Shelf[Place]
	terms    shelf.Shelf[Term]
	bytes    shelf.Shelf[byte]
	runs     shelf.Shelf[[2]int]
	people   shelf.Shelf[int]
	// These grow as the job is read.
	scales []Scale
	notes  []note
	inputs []input
	copies []string
}

// memories hold no job.
var memories = sync.Pool{New: func() any { return &memory{} }}

// begin puts a job, nothing of which is read yet, into the memory.
func (m *memory) begin(name string, h *head) *Job {
	m.job = Job{Name: name, Region: h.scope.region, Outfit: h.outfit, Issuer: h.issuer,
		Scales: m.scales, Notes: m.notes, Inputs: m.inputs, Copies: m.copies, memory: m}
	shelf.Lend(&m.job.Lent, &m.job, takeBack)
	return &m.job
}

// end keeps the lists that have grown. A job has none in the place of an empty one,
// whatever memory it was read into.
func (m *memory) end() {
	j := &m.job
	m.scales, m.notes, m.inputs, m.copies = j.Scales, j.Notes, j.Inputs, j.Copies
	j.Scales, j.Notes, j.Inputs, j.Copies = orNone(j.Scales), orNone(j.Notes), orNone(j.Inputs), orNone(j.Copies)
}

func orNone[T any](list []T) []T {
	if len(list) == 0 {
		return nil
	}
	return list
}

// takeBack clears the memory of a job for one that is read later.
func takeBack(j *Job) {
	m := j.memory
	m.scales, m.notes, m.inputs, m.copies = emptied(m.scales), emptied(m.notes), emptied(m.inputs), emptied(m.copies)
	m.job = Job{}
	m.readings.Clear()
	m.ratings.Clear()
	m.loads.Clear()
	m.places.Clear()
	m.terms.Clear()
	m.bytes.Clear()
	m.runs.Clear()
	m.people.Clear()
	memories.Put(m)
}

// emptied is a list without its values, which nothing keeps alive any more.
func emptied[T any](list []T) []T {
	clear(list)
	return list[:0]
}
