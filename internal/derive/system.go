package derive

import (
	"fmt"
	"slices"
	"sync"

	"reconcile/internal/derive/lsq"
	"reconcile/internal/tickets"
)

// rankLimit is the relative size below which a singular value counts as zero. The
// solver brings all columns to length 1 first; what readings distinguish is then far
// above this limit, and what they do not is rounding, some 1e-15.
const rankLimit = 1e-9

// kind says what an observation is.
type kind string

// The kinds of observation, in the order they are numbered. A gain and a zero are the
// scale's, not the reading's: see gains.go and zeros.go.
const (
	byReading kind = "reading"
	byLoad    kind = "load"
	byShare   kind = "share"
	byScale   kind = "scale"
	byZero    kind = "zero"
	byDrawbar kind = "drawbar" // that a hinged drawbar passes no load on
	byTie     kind = "tie"
)

// observation is one equation of the system and how it fared.
type observation struct {
	Kind  kind
	Index int     // of the reading in Job.Readings; only for readings
	First int     // the first used reading with the same scale, state and supports, which it repeats; itself where it is that
	Name  string  // of the load, scale or tie
	U     float64 // in kilograms; of a scale, of its relative error
	// Lengths are the columns of outfit.csv that the ratio of a tie is made of, in
	// the order of lengths.
	Lengths []string
	// Residual is observed − fitted, Redundancy the share of an error of this
	// observation that its own residual shows.
	Residual   float64
	Redundancy float64
	// Standardised is Baarda's w and Smallest the minimal detectable error;
	// both only where Testable, that is from a redundancy of 0.01.
	Standardised float64
	Smallest     float64
	Testable     bool
	Suspect      bool
}

// Options leave parts of the model out, or suppose moves; the zero Options do neither.
type Options struct {
	WithoutTies map[string]bool // the moment ties left out, by their names
	FreeZero    *string         // the scale whose zero is taken as unknown though no empty deck was read; nil for none
	Moves       []Move          // as if made before the outfit travels

	free bool                        // mass is not conserved between states
	keep func(*tickets.Reading) bool // the readings used; nil for all

	only []groupsIn // the supports that are solved for; none: all
	// partOf is the system whose readings a route takes some of: what each reading
	// and each scale is uncertain by is the same in both.
	partOf *system
}

// system is a Job as equations: observations row·x = value ± u, and balances that hold
// exactly. The unknowns x are loads on supports in kilograms, masses, shares, gains and
// zeros, each in a column of the layout.
type system struct {
	job       *tickets.Job
	options   Options
	all       []*tickets.Reading // the job's used readings, also those that a route leaves out
	used      []*tickets.Reading
	usedIndex []int // their places in Job.Readings
	layout    *layout
	loads     []*tickets.Load
	moved     []movedPart
	ties      []tie
	Unknown   []unknownShare
	obs       []observation
	rows      [][]float64
	values    []float64
	balance   [][]float64 // exact: each row·x = 0
	us        []float64   // u of each observation, where it is solved
	numbers   []float64   // the memory of rows
	rowRoom   []float64   // what is left of it for the next ones
	lists     lists       // the memory of what a solution lists
}

// systems are those that were released: the next ones are written into their memory. A
// job solves several systems, and a run as many as it has jobs.
var systems = sync.Pool{New: func() any { return new(system) }}

// emptied is a system without any equation in the memory of one that was released. Its
// lists have no elements, and grow by whole ones; rows are cleared when they are handed
// out. So nothing of the system before can be read.
func (y *system) emptied(job *tickets.Job, o Options) *system {
	*y = system{
		job: job, options: o, layout: y.layout, all: y.all[:0], used: y.used[:0], usedIndex: y.usedIndex[:0],
		loads: y.loads[:0], ties: y.ties[:0], obs: y.obs[:0], rows: y.rows[:0], values: y.values[:0],
		balance: y.balance[:0], us: y.us[:0], numbers: y.numbers, rowRoom: y.numbers, lists: y.lists,
	}
	if y.layout == nil {
		y.layout = new(layout)
	}
	return y
}

// newSystem plans the unknowns first, so that every row has its full length,
// and writes the equations then. Readings come first, in the order of the form; the
// ties come last: only they change from round to round, and a fit without them is the
// same rows less the last.
func newSystem(job *tickets.Job, o Options) *system {
	y := systems.Get().(*system).emptied(job, o)
	y.takeReadings()
	y.layout.plan(&job.Outfit, y.used, o.only)
	y.planLoads()
	y.planMoves()
	y.planGains()
	y.planZeros()
	y.makeRoom()
	y.planTies()
	y.observeReadings()
	y.observeLoads()
	y.observeMoves()
	y.observeGains()
	y.observeZeros()
	y.observeDrawbar()
	for i := range y.ties {
		t := &y.ties[i]
		y.observe(observation{Kind: byTie, Name: t.name, U: t.u(0), Lengths: t.ratio.names()}, t.row, 0)
	}
	if !o.free {
		y.conserve()
	}
	return y
}

// takeReadings lists the used readings. What sets a reading's uncertainty (the largest
// on its scale, the largest part of a load) is asked of all of them, also where a route
// leaves some out.
func (y *system) takeReadings() {
	n := len(y.job.Readings)
	y.all, y.used, y.usedIndex = slices.Grow(y.all, n), slices.Grow(y.used, n), slices.Grow(y.usedIndex, n)
	for i := range y.job.Readings {
		r := &y.job.Readings[i]
		if !r.Used || r.Empty {
			continue
		}
		y.all = append(y.all, r)
		if y.options.keep == nil || y.options.keep(r) {
			y.used, y.usedIndex = append(y.used, r), append(y.usedIndex, i)
		}
	}
}

// makeRoom asks at once for the memory of all equations: one for each reading and
// tie, at most one for each further unknown, and the balances; of a tie also what its
// ratio multiplies.
func (y *system) makeRoom() {
	ties := max(len(allTies)-len(y.options.WithoutTies), 0)
	n := len(y.used) + ties + y.layout.columns - y.layout.supports + 1
	y.obs, y.rows, y.values = slices.Grow(y.obs, n), slices.Grow(y.rows, n), slices.Grow(y.values, n)
	y.us = slices.Grow(y.us, n)
	if need := (n + ties + 2) * y.layout.columns; len(y.rowRoom) < need {
		y.roomForRows(need)
	}
}

// roomForRows makes room for so many numbers of rows.
func (y *system) roomForRows(n int) {
	y.numbers = make([]float64, n)
	y.rowRoom = y.numbers
}

// rowsAtOnce is the number of rows that are made in one piece of memory.
const rowsAtOnce = 16

// row is a row of noughts. Rows are small and many, so several share one piece of
// memory; a system is for one goroutine. A system that is written into this memory finds
// room for all of its rows in the last piece, which is the largest.
func (y *system) row() []float64 {
	n := y.layout.columns
	if len(y.rowRoom) < n {
		y.roomForRows(max(rowsAtOnce*n, len(y.numbers)+len(y.numbers)/2))
	}
	row := y.rowRoom[:n:n]
	y.rowRoom = y.rowRoom[n:]
	clear(row) // the memory may have been another system's
	return row
}

// observe adds one equation row·x = value.
func (y *system) observe(o observation, row []float64, value float64) {
	y.obs = append(y.obs, o)
	y.rows = append(y.rows, row)
	y.values = append(y.values, value)
}

// observeOne observes an unknown itself: a stated mass, an assumed share, a gain of 0.
func (y *system) observeOne(o observation, column int, value float64) {
	row := y.row()
	row[column] = 1
	y.observe(o, row, value)
}

// conserve writes the exact constraints, in kilograms:
//
//	Σ coupled slack = Σ vehicle alone + Σ trailer alone
//	Σ coupled tensioned = Σ coupled slack
//
// Hitching up moves load between supports and adds none, nor do the bars. All
// states are in travelling condition, whoever was off the deck in a reading. They are
// constraints and not observations, since no weighing can make them wrong.
func (y *system) conserve() {
	coupling, tension := y.row(), y.row()
	for _, g := range coupledGroups {
		y.groupRow(coupling, tickets.CoupledSlack, g, 1)
		y.groupRow(tension, tickets.CoupledTensioned, g, 1)
		y.groupRow(tension, tickets.CoupledSlack, g, -1)
	}
	for _, s := range []tickets.State{tickets.VehicleAlone, tickets.TrailerAlone} {
		for _, g := range groupsOf(&y.job.Outfit, s) {
			y.groupRow(coupling, s, g, -1)
		}
	}
	y.balance = append(y.balance, coupling, tension)
}

// noughts are the right-hand sides of the balances.
var noughts [2]float64

// solve solves the system once, with the ties at the amounts given, in kilograms; without
// the ties, which are the last observations, where none is given.
func (y *system) solve(amounts []float64) (*fitted, error) {
	first := len(y.obs) - len(y.ties)
	for i, amount := range amounts {
		y.obs[first+i].U = y.ties[i].u(amount)
	}
	n := first + len(amounts)
	y.us = y.us[:0]
	for i := range n {
		y.us = append(y.us, y.obs[i].U)
	}
	f, err := fit(lsq.System{
		Columns: y.layout.columns, A: y.rows[:n], Y: y.values[:n], U: y.us,
		C: y.balance, D: noughts[:len(y.balance)], RankLimit: rankLimit,
	}, y.obs[:n:n])
	if err != nil {
		return nil, fmt.Errorf("job %q: %w", y.job.Name, err)
	}
	return f, nil
}

// work is about how many multiplications a solution takes: rows × columns² a
// round, with ties some four rounds.
func (y *system) work() int {
	rounds := 1
	if len(y.ties) > 0 {
		rounds = 4
	}
	return rounds * len(y.rows) * y.layout.columns * y.layout.columns
}
