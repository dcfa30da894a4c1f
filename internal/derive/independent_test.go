package derive

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"testing"

	"reconcile/internal/study"
	"reconcile/internal/tickets"
)

// dumped is a system as testdata/solve.py reads it.
type dumped struct {
	Rows       [][]float64 `json:"rows"`
	Values     []float64   `json:"values"`
	U          []float64   `json:"u"`
	Balance    [][]float64 `json:"balance"`
	Quantities [][]float64 `json:"quantities"`
}

// second is the other method's answer.
type second struct {
	Rank       int       `json:"rank"`
	ChiSquare  float64   `json:"chi_square"`
	Redundancy []float64 `json:"redundancy"`
	Quantities []verdict `json:"quantities"`
}

// verdict is one quantity of the other method: determined, value, u.
type verdict struct {
	determined bool
	value, u   float64
}

func (v *verdict) UnmarshalJSON(b []byte) error {
	return json.Unmarshal(b, &[]any{&v.determined, &v.value, &v.u})
}

// independentJobs is the number of jobs that are compared: 200 with -study.
func independentJobs() int { return study.Size(200, 40, 20) }

// jobsToCompare are so many jobs of all kinds: drawn outfits, and a seventh of them
// with anything that reading lets pass.
func jobsToCompare(number int) []*tickets.Job {
	var jobs []*tickets.Job
	for i, kind := range outfitKinds {
		for n := range uint64(number / 20) {
			job := draw(kind, 50_000+100*uint64(i)+n).job
			job.Name = fmt.Sprintf("%s %d", kind.name, n)
			jobs = append(jobs, job)
		}
	}
	for seed := uint64(0); len(jobs) < number; seed++ {
		jobs = append(jobs, wildJob(seed))
	}
	return jobs
}

// solvedQuantities are those with a row: everything solved, and each mass.
func solvedQuantities(s *Solution) []namedQuantity {
	var all []namedQuantity
	for _, q := range s.quantities() {
		if q.row != nil {
			all = append(all, q)
		}
	}
	for _, l := range s.system.loads {
		q := s.Sum(Part{Factor: 1, Load: l.Name})
		all = append(all, namedQuantity{Name: "mass of " + l.Name, Quantity: q})
	}
	return all
}

func dump(s *Solution) dumped {
	y := s.system
	d := dumped{Rows: y.rows, Values: y.values, Balance: y.balance}
	for i := range y.obs {
		d.U = append(d.U, y.obs[i].U)
	}
	for _, q := range solvedQuantities(s) {
		d.Quantities = append(d.Quantities, q.row)
	}
	return d
}

// secondOpinions runs the script over all systems at once.
func secondOpinions(t *testing.T, systems []dumped) []second {
	t.Helper()
	python := study.Tool(t, "python3", "numpy")
	var in, out bytes.Buffer
	enc := json.NewEncoder(&in)
	for _, d := range systems {
		if err := enc.Encode(d); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(python, "testdata/solve.py")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = &in, &out, os.Stderr
	if err := cmd.Run(); err != nil {
		t.Fatal(err)
	}
	var all []second
	for dec := json.NewDecoder(&out); dec.More(); {
		var s second
		if err := dec.Decode(&s); err != nil {
			t.Fatal(err)
		}
		all = append(all, s)
	}
	return all
}

// TestAgainstSingularValues compares every value and u of 200 jobs (fewer without
// -study), and what is determined at all, with a solution of the same equations by another
// method in another language.
func TestAgainstSingularValues(t *testing.T) {
	var solved []*Solution
	var systems []dumped
	for _, job := range jobsToCompare(independentJobs()) {
		s := mustSolve(t, job)
		solved, systems = append(solved, s), append(systems, dump(s))
	}
	answers := secondOpinions(t, systems)
	if len(answers) != independentJobs() {
		t.Fatalf("%d answers (want %d)", len(answers), independentJobs())
	}
	determined, open := 0, 0
	for i, s := range solved {
		d, o := holdAgainst(t, s, answers[i])
		determined, open = determined+d, open+o
	}
	t.Logf("%d quantities determined, %d not", determined, open)
	if n := independentJobs(); determined < 12*n || open < 2*n {
		t.Errorf("%d determined and %d not: too few to say anything", determined, open)
	}
}

// holdAgainst compares one job and counts what was determined and what not.
func holdAgainst(t *testing.T, s *Solution, other second) (determined, open int) {
	t.Helper()
	if f := s.Agreement; f.DOF != len(s.Observations)-other.Rank || math.Abs(f.ChiSquare-other.ChiSquare) > 1e-6*(1+other.ChiSquare) {
		t.Errorf("%s: dof %d, chi-square %g (want %d, %g)", s.Job.Name, f.DOF, f.ChiSquare, len(s.Observations)-other.Rank, other.ChiSquare)
	}
	for i, o := range s.Observations {
		if math.Abs(o.Redundancy-other.Redundancy[i]) > 1e-9 {
			t.Errorf("%s: observation %d has redundancy %g (want %g)", s.Job.Name, i, o.Redundancy, other.Redundancy[i])
		}
	}
	for i, q := range solvedQuantities(s) {
		want := other.Quantities[i]
		fixed := want.determined && coverage*want.u <= maxDeterminedU
		v, u, ok := q.Number()
		switch {
		case !ok && s.previous != nil:
			open++ // still moving in the last round: no matter of one solution
		case ok != fixed:
			t.Errorf("%s: %s determined %v (want %v: lean %v, u %g)", s.Job.Name, q.Name, ok, fixed, want.determined, want.u)
		case !ok:
			open++
		case math.Abs(v-want.value) > 1e-6 || math.Abs(u-want.u) > 1e-6:
			t.Errorf("%s: %s = %.9f, u %.9f (want %.9f, u %.9f)", s.Job.Name, q.Name, v, u, want.value, want.u)
		default:
			determined++
		}
	}
	return determined, open
}
