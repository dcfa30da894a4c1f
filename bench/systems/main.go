// Command systems writes the systems of equations of a made-up day, for
// bench/solve.py: of each four little-endian 32-bit integers (observations,
// unknowns, constraints, 0), then as 64-bit floats the coefficients by rows,
// the observed values, their standard uncertainties, and the constraints.
//
//	systems N > SYSTEMS.bin
//	systems -solve N
//
// With -solve it solves them instead, on all cores, and prints their number,
// the seconds that took, and the sum of the squared residuals.
package main

import (
	"bufio"
	"context"
	"encoding/binary"
	"flag"
	"fmt"
	"log"
	"os"
	"strconv"
	"time"

	"reconcile/bench/day"
	"reconcile/internal/derive"
	"reconcile/internal/derive/lsq"
	"reconcile/internal/flow"
	"reconcile/internal/tickets"
)

func main() {
	solve := flag.Bool("solve", false, "solve the systems instead of writing them")
	flag.Parse()
	n, err := strconv.Atoi(flag.Arg(0))
	if err != nil {
		log.Fatal("usage: systems [-solve] N")
	}
	all := systems(n)
	if *solve {
		timed(all)
		return
	}
	out := bufio.NewWriter(os.Stdout)
	for _, s := range all {
		write(out, s)
	}
	if err := out.Flush(); err != nil {
		log.Fatal(err)
	}
}

// systems gives those of a day of n jobs.
func systems(n int) []lsq.System {
	var forms []tickets.Form
	for name, b := range day.New(n, 0, 1) {
		forms = append(forms, tickets.Form{Name: name, Bytes: b})
	}
	r := tickets.NewReader(forms, tickets.Options{NeedTickets: true})
	var all []lsq.System
	for i, name := range r.Names() {
		job, faults := r.Job(i)
		if job == nil {
			log.Fatal(name, faults)
		}
		all = append(all, systemsOf(job)...)
	}
	return all
}

// systemsOf gives every system that a job's results take: those of the rounds,
// that without the ties, those of the routes to the download.
func systemsOf(job *tickets.Job) (all []lsq.System) {
	s, err := derive.SolveWith(job, derive.Options{Watch: func(y lsq.System) { all = append(all, y) }})
	if err != nil {
		log.Fatal(err)
	}
	s.FitWithoutTies()
	s.Routes()
	return all
}

// timed solves the systems on all cores.
func timed(all []lsq.System) {
	start, total := time.Now(), 0.0
	flow.Ordered(context.Background(), len(all)/perTask+1, func(i int) float64 {
		sum := 0.0
		for _, s := range all[min(i*perTask, len(all)):min((i+1)*perTask, len(all))] {
			fit, err := lsq.Solve(s)
			if err != nil {
				log.Fatal(err)
			}
			for _, r := range fit.Residuals {
				sum += r * r
			}
		}
		return sum
	}, func(_ int, sum float64) bool {
		total += sum
		return true
	})
	fmt.Printf("%d %.6f %.6f\n", len(all), time.Since(start).Seconds(), total)
}

// perTask is the number of systems solved in one go: those of some jobs.
const perTask = 64

// write writes one system; what a bufio.Writer cannot take, Flush tells.
func write(out *bufio.Writer, s lsq.System) {
	put := func(v any) { binary.Write(out, binary.LittleEndian, v) }
	put([]int32{int32(len(s.A)), int32(s.Columns), int32(len(s.C)), 0})
	for _, row := range s.A {
		put(row)
	}
	put(s.Y)
	put(s.U)
	for _, row := range s.C {
		put(row)
	}
}
