package flow_test

import (
	"fmt"
	"go/parser"
	"go/token"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/flow"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// answer is what the program makes of a visit's forms.
type answer struct {
	verdict   string // of the job, or refused
	questions []string
	agreement string
	fault     string
	solution  *derive.Solution
}

// ask gives the forms to the program, as bytes, and reads its answer.
func ask(t *testing.T, forms map[string][]byte) answer {
	t.Helper()
	var folder flow.Folder
	for _, name := range slices.Sorted(maps.Keys(forms)) {
		folder.Forms = append(folder.Forms, tickets.Form{Name: name, Bytes: forms[name]})
	}
	read := flow.Read(folder, flow.Options{Rule: "guarded", Paper: "a4"}, true)
	if len(read.Faults) > 0 {
		return answer{verdict: "refused", fault: read.Faults[0].What}
	}
	job := &read.Jobs[0]
	s, err := derive.Solve(job)
	if err != nil {
		t.Fatal(err)
	}
	found := limits.Find(job, s, limits.Options{Rule: limits.Guarded})
	a := answer{verdict: string(found.Verdict), agreement: string(s.Agreement()), solution: s}
	for _, q := range found.Questions {
		if !q.Answered {
			a.questions = append(a.questions, q.Code)
		}
	}
	return a
}

// visit draws the n-th visit of the study with a mess made of it; ok is false
// where it cannot be made. The same n is the same outfit, weighed the same way,
// under each kind. Every second outfit is overloaded.
func visit(kind int, n uint64) (v *simulatedVisit, ok bool) {
	v = drawVisit(dice{rand.New(rand.NewPCG(14, n))}, n%2 == 0)
	v.d = dice{rand.New(rand.NewPCG(1400+uint64(kind), n))}
	v.scale.d = v.d
	if v.gauge != nil {
		v.gauge.d = v.d
	}
	m := messes[kind]
	if m.before != nil && !m.before(v) {
		return nil, false
	}
	v.weigh()
	return v, m.after == nil || m.after(v)
}

// outcomes counts the verdicts of the visits of one kind, those of truly
// overloaded outfits and of the others apart.
type outcomes struct {
	over, fine   map[string]int
	overs, fines int
	asked        map[string]int // codes asked
	anyAsked     int
	missed       []string // how a truly overloaded outfit was called within
}

func (o *outcomes) add(v *simulatedVisit, n uint64, a answer) {
	if len(a.questions) > 0 {
		o.anyAsked++
	}
	for _, code := range slices.Compact(slices.Sorted(slices.Values(a.questions))) {
		o.asked[code]++
	}
	if v.outfit.use(v.plates, v.region) <= 1 {
		o.fine[a.verdict]++
		o.fines++
		return
	}
	o.over[a.verdict]++
	o.overs++
	if a.verdict == "refused" && o.over["refused"]+o.fine["refused"] < 4 {
		o.missed = append(o.missed, "refused: "+a.fault)
	}
	if a.verdict == "within" {
		o.missed = append(o.missed, fmt.Sprintf("visit %d, region %q, %s, used %.3f", n, v.region, v.scale.deck, v.outfit.use(v.plates, v.region)))
	}
}

// verdicts are the columns of the table.
var verdicts = []string{"within", "unconfirmed", "conflict", "over", "unsettled", "incomplete", "refused"}

// row prints shares in percent.
func row(name string, n int, counts map[string]int) string {
	line := fmt.Sprintf("| %s | %d", name, n)
	for _, verdict := range verdicts {
		line += fmt.Sprintf(" | %.1f", percent(counts[verdict], n))
	}
	return line + " |"
}

func percent(part, n int) float64 { return 100 * float64(part) / max(float64(n), 1) }

// visitsPerKind is how many visits the study draws of each kind: some in every
// run, many where RECONCILE_FULL is set.
func visitsPerKind() uint64 {
	switch {
	case os.Getenv("RECONCILE_FULL") != "":
		return 4000
	case testing.Short():
		return 60
	}
	return 240
}

// TestSimulatedMess makes each kind of mess of the forms of many outfits and
// wants few truly overloaded ones called within. The table is in the
// contributor's guide.
func TestSimulatedMess(t *testing.T) {
	n := visitsPerKind()
	t.Logf("| mess | overloaded | %s |", strings.Join(verdicts, " % | "))
	var fine []string
	for kind, m := range messes {
		o := outcomes{over: map[string]int{}, fine: map[string]int{}, asked: map[string]int{}}
		for i := range n {
			if v, ok := visit(kind, i); ok {
				o.add(v, i, ask(t, v.forms()))
			}
		}
		t.Log(row(m.name, o.overs, o.over))
		fine = append(fine, row(m.name, o.fines, o.fine)+fmt.Sprint(" ", o.asked))
		for _, how := range o.missed[:min(len(o.missed), 6)] {
			t.Log(how)
		}
		o.judge(t, m)
	}
	t.Log("the same of outfits that are not overloaded, and what was asked of both:")
	for _, line := range fine {
		t.Log(line)
	}
}

// judge wants enough cases, and the goal kept; in a small sample to within
// three standard errors of a share of that size.
func (o *outcomes) judge(t *testing.T, m mess) {
	t.Helper()
	if o.overs < 4 || o.fines < 4 {
		t.Errorf("%s: %d overloaded outfits and %d others (want some of both)", m.name, o.overs, o.fines)
	}
	if m.mostWithin == 0 {
		return
	}
	most := m.mostWithin
	if visitsPerKind() < 4000 {
		share := most / 100
		most += 300 * math.Sqrt(share*(1-share)/float64(o.overs))
	}
	if got := percent(o.over["within"], o.overs); got > most {
		t.Errorf("%s: %.1f %% of the truly overloaded outfits are called within (want at most %.1f)", m.name, got, m.mostWithin)
		for _, how := range o.missed[:min(len(o.missed), 8)] {
			t.Log(how)
		}
	}
}

// TestSimulatedTruth asks of visits without a mess whether anybody who typed
// the truth is asked anything, and whether value ± U holds the truth as often
// as U promises: 95 to 96.5 % (k = 2: 95.45 % of a normal error, JCGM 100:2008,
// Table G.1; sums of rectangular ones hold somewhat more).
func TestSimulatedTruth(t *testing.T) {
	visits, asked, conflicts, quantities, covered := 0, map[string]int{}, 0, 0, 0
	anyAsked := 0
	perDeck := map[string][2]int{}
	for i := range visitsPerKind() {
		v, _ := visit(0, i)
		a := ask(t, v.forms())
		if a.verdict == "refused" {
			t.Fatalf("visit %d is refused: %s", i, a.fault)
		}
		visits++
		if len(a.questions) > 0 {
			anyAsked++
		}
		for _, code := range a.questions {
			asked[code]++
		}
		if a.verdict == "conflict" {
			conflicts++
		}
		in, all := coverageOf(a.solution, v.outfit.truths())
		covered, quantities = covered+in, quantities+all
		for _, key := range []string{v.scale.deck, fmt.Sprint("lengths ", v.lengthsTyped), fmt.Sprint("tandem ", v.outfit.trailerAxles), fmt.Sprint("gauge ", v.gauge != nil), fmt.Sprint("bars ", v.outfit.bars), "scales " + fmt.Sprint(v.scalesTyped), "unit " + v.scale.unit} {
			perDeck[key] = [2]int{perDeck[key][0] + in, perDeck[key][1] + all}
		}
	}
	share := percent(covered, quantities)
	t.Logf("%d visits: asked anything %.2f %% %v, conflict %.2f %%, %d quantities, covered %.2f %%",
		visits, percent(anyAsked, visits), asked, percent(conflicts, visits), quantities, share)
	for _, key := range slices.Sorted(maps.Keys(perDeck)) {
		t.Logf("%-16s covered %.2f %% of %d", key, percent(perDeck[key][0], perDeck[key][1]), perDeck[key][1])
	}
	low, high, most := 95.0, 96.5, 2.0
	if visitsPerKind() < 4000 { // few visits, whose quantities hang together
		low, high, most = 93, 98, 5
	}
	if quantities < 500 || share < low || share > high {
		t.Errorf("value ± U holds the truth in %.2f %% of %d quantities (want %.1f to %.1f %%)", share, quantities, low, high)
	}
	if got := percent(anyAsked, visits); got > most {
		t.Errorf("%.2f %% of those who typed the truth are asked something (want at most %.0f %%)", got, most)
	}
}

// coverageOf counts the determined quantities whose value ± U holds the truth.
func coverageOf(s *derive.Solution, truths map[string]float64) (in, all int) {
	for _, q := range s.Quantities() {
		truth, known := truths[q.Name]
		value, u, ok := q.Number()
		if !known || !ok {
			continue
		}
		all++
		if math.Abs(value-truth) <= 2*u {
			in++
		}
	}
	return in, all
}

// TestSimulatorKnowsNothing wants the simulated outfits, scales and forms to
// import nothing of the program whose answers they test.
func TestSimulatorKnowsNothing(t *testing.T) {
	files, err := filepath.Glob("simulated_*_test.go")
	if err != nil || len(files) != 6 {
		t.Fatalf("%d files of the simulator (want 6): %v", len(files), err)
	}
	for _, file := range files {
		if file == "simulated_study_test.go" {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range parsed.Imports {
			if strings.HasPrefix(i.Path.Value, `"reconcile/`) {
				t.Errorf("%s imports %s", file, i.Path.Value)
			}
		}
	}
}
