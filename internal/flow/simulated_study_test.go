package flow_test

import (
	"encoding/json"
	"fmt"
	"go/parser"
	"go/token"
	"maps"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/flow"
	"reconcile/internal/limits"
	"reconcile/internal/study"
	"reconcile/internal/tickets"
)

// answer is what the program makes of a visit's forms.
type answer struct {
	verdict   string // of the job, or refused
	questions []string
	faults    string
	solution  *derive.Solution
}

// folderOf is a folder with the forms in it.
func folderOf(forms map[string][]byte) flow.Folder {
	var folder flow.Folder
	for _, name := range slices.Sorted(maps.Keys(forms)) {
		folder.Forms = append(folder.Forms, tickets.Form{Name: name, Bytes: forms[name]})
	}
	return folder
}

// ask gives the forms to the program, as bytes, and reads its answer.
func ask(t *testing.T, forms map[string][]byte) answer {
	t.Helper()
	jobs, faults := flow.Read(folderOf(forms), flow.Options{}, true).All()
	if len(faults) > 0 {
		a := answer{verdict: "refused"}
		for _, f := range faults {
			a.faults += f.What + "; "
		}
		return a
	}
	job := jobs[0]
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	found := limits.Find(job, s, limits.Guarded)
	a := answer{verdict: string(found.Verdict), solution: s}
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
func visit(kind int, n uint64) (v *simulatedVisit, ok bool) { return visitOf("", kind, n) }

// visitOf is the same with a trailer of a kind.
func visitOf(trailer string, kind int, n uint64) (v *simulatedVisit, ok bool) {
	v = drawVisit(dice{rand.New(rand.NewPCG(14, n))}, trailer, n%2 == 0)
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
// overloaded outfits and of the others separately.
type outcomes struct {
	over, fine map[string]int // by verdict
	asked      map[string]int // by code
	missed     []string       // how a truly overloaded outfit was called within
}

func newOutcomes() *outcomes {
	return &outcomes{map[string]int{}, map[string]int{}, map[string]int{}, nil}
}

func (o *outcomes) add(v *simulatedVisit, n uint64, a answer) {
	for _, code := range slices.Compact(slices.Sorted(slices.Values(a.questions))) {
		o.asked[code]++
	}
	used, worst, _ := v.outfit.use(v.plates, v.region)
	if used <= 1 {
		o.fine[a.verdict]++
		return
	}
	o.over[a.verdict]++
	if a.verdict == "within" {
		o.missed = append(o.missed, fmt.Sprintf("visit %d, region %q, %s, %s %s at %.3f", n, v.region, v.scale.deck, worst.word, worst.on, used))
	}
}

// verdicts are the columns of the table.
var verdicts = []string{"within", "unconfirmed", "conflict", "over", "unsettled", "incomplete", "refused"}

// row prints a row of the table: how many, and the share of each verdict in percent.
func row(name string, counts map[string]int) string {
	line := fmt.Sprintf("| %s | %d", name, total(counts))
	for _, verdict := range verdicts {
		line += fmt.Sprintf(" | %.1f", percent(counts[verdict], total(counts)))
	}
	return line + " |"
}

func total(counts map[string]int) int {
	n := 0
	for _, count := range counts {
		n += count
	}
	return n
}

func percent(part, n int) float64 { return 100 * float64(part) / max(float64(n), 1) }

// fullStudy is how many visits of each kind the study draws with
// -study.
const fullStudy = 4000

// visitsPerKind is how many visits are drawn of each kind: some in every run.
func visitsPerKind() uint64 {
	return uint64(study.Size(fullStudy, 80, 60))
}

// TestSimulatedMess makes each kind of mess of the forms of many outfits and
// wants few truly overloaded ones called within. The table is in the
// contributor's guide.
func TestSimulatedMess(t *testing.T) {
	head := "| " + strings.Join(verdicts, " % | ") + " % |"
	t.Log("| truly overloaded | visits " + head)
	var fine []string
	for kind, m := range messes {
		o := newOutcomes()
		for i := range visitsPerKind() {
			if v, ok := visit(kind, i); ok {
				o.add(v, i, ask(t, v.forms()))
			}
		}
		t.Log(row(m.name, o.over))
		fine = append(fine, row(m.name, o.fine)+fmt.Sprint(" asked of both: ", o.asked))
		o.judge(t, m)
	}
	t.Log("| not overloaded | visits " + head)
	for _, line := range fine {
		t.Log(line)
	}
}

// judge wants cases of both, and the goal kept; in a small sample to within
// three standard errors of a share of that size.
func (o *outcomes) judge(t *testing.T, m mess) {
	t.Helper()
	overs := total(o.over)
	if overs < 3 || total(o.fine) < 3 {
		t.Errorf("%s: %d overloaded outfits and %d others (want some of both)", m.name, overs, total(o.fine))
	}
	if m.mostWithin == 0 {
		return
	}
	most := m.mostWithin
	if visitsPerKind() < fullStudy {
		share := most / 100
		most += 300 * math.Sqrt(share*(1-share)/float64(overs))
	}
	if got := percent(o.over["within"], overs); got > most {
		t.Errorf("%s: %.1f %% of the truly overloaded outfits are called within (want at most %.0f): %s",
			m.name, got, m.mostWithin, strings.Join(o.missed[:min(len(o.missed), 8)], "; "))
	}
}

// clean counts visits without a mess.
type clean struct {
	trailer                  string
	visits, asked, conflicts int
	covered, quantities      int
	light, lightAsked        int // trailers below 900 kg
	codes                    map[string]int
	coveredOn, quantitiesOn  map[string]int // by deck
}

// TestSimulatedTruth asks of visits without a mess whether anybody who typed
// the truth is asked anything, and whether value ± U holds the truth as often
// as U promises: 95 to 96.5 % (k = 2: 95.45 % of a normal error, JCGM 100:2008,
// Table G.1; sums of rectangular ones hold somewhat more).
func TestSimulatedTruth(t *testing.T) {
	c := cleanVisits(t, "", visitsPerKind())
	low, high, most := 95.0, 96.5, 2.0
	if visitsPerKind() < fullStudy { // few visits, whose quantities hang together
		low, high, most = 93, 98, 5
	}
	c.judge(t, low, high, most)
}

// TestSimulatedTrailers asks the same of semi-trailers and hinged drawbars, of
// which no goal but the promise of U is set.
func TestSimulatedTrailers(t *testing.T) {
	for _, trailer := range []string{"semi", "drawbar"} {
		c := cleanVisits(t, trailer, visitsPerKind()/2)
		low, high, most := 95.0, 97.0, 2.0
		if visitsPerKind() < fullStudy {
			low, high, most = 92, 99, 5
		}
		c.judge(t, low, high, most)
	}
}

// cleanVisits asks of visits without a mess.
func cleanVisits(t *testing.T, trailer string, n uint64) *clean {
	t.Helper()
	c := &clean{trailer: trailer, codes: map[string]int{}, coveredOn: map[string]int{}, quantitiesOn: map[string]int{}}
	for i := range n {
		v, _ := visitOf(trailer, 0, i)
		a := ask(t, v.forms())
		if a.verdict == "refused" {
			t.Fatalf("%s visit %d is refused: %s", trailer, i, a.faults)
		}
		c.add(v, a)
	}
	return c
}

// judge wants coverage between low and high, at most so many asked anything;
// all in percent.
func (c *clean) judge(t *testing.T, low, high, most float64) {
	t.Helper()
	share := percent(c.covered, c.quantities)
	t.Logf("%s%d visits: %.2f %% asked anything %v, of %d trailers below 900 kg %.1f %%; %.2f %% in conflict; value ± U holds %.2f %% of %d quantities",
		c.label(), c.visits, percent(c.asked, c.visits), c.codes, c.light, percent(c.lightAsked, c.light), percent(c.conflicts, c.visits), share, c.quantities)
	for _, deck := range slices.Sorted(maps.Keys(c.quantitiesOn)) {
		t.Logf("deck %-6s holds %.2f %% of %d", deck, percent(c.coveredOn[deck], c.quantitiesOn[deck]), c.quantitiesOn[deck])
	}
	if c.quantities < 200 || share < low || share > high {
		t.Errorf("%svalue ± U holds the truth in %.2f %% of %d quantities (want %.1f to %.1f %%)", c.label(), share, c.quantities, low, high)
	}
	if got := percent(c.asked, c.visits); got > most {
		t.Errorf("%s%.2f %% of those who typed the truth are asked something (want at most %.0f %%)", c.label(), got, most)
	}
}

// label leads a line about a kind of trailer.
func (c *clean) label() string {
	if c.trailer == "" {
		return ""
	}
	return c.trailer + ": "
}

func (c *clean) add(v *simulatedVisit, a answer) {
	c.visits++
	trailer, _ := moment(v.outfit.trailer, nil)
	light := trailer < 900
	if light {
		c.light++
	}
	if len(a.questions) > 0 {
		c.asked++
		if light {
			c.lightAsked++
		}
	}
	for _, code := range a.questions {
		c.codes[code]++
	}
	if a.verdict == "conflict" {
		c.conflicts++
	}
	in, all := coverageOf(a.solution, v.outfit.truths())
	c.covered, c.quantities = c.covered+in, c.quantities+all
	c.coveredOn[v.scale.deck] += in
	c.quantitiesOn[v.scale.deck] += all
}

// TestSimulatedRecords wants what the study counts, the verdict and the
// questions, to be what is printed and signed: the bytes of the record.
func TestSimulatedRecords(t *testing.T) {
	seen := map[string]int{}
	for kind, m := range messes {
		for i := range uint64(6) {
			v, ok := visit(kind, i)
			if !ok {
				continue
			}
			forms := v.forms()
			a := ask(t, forms)
			if a.verdict == "refused" {
				continue
			}
			verdict, questions := recorded(t, forms)
			if verdict != a.verdict || !slices.Equal(questions, a.questions) {
				t.Errorf("%s, visit %d: the record says %s %v (want %s %v)", m.name, i, verdict, questions, a.verdict, a.questions)
			}
			seen[verdict]++
		}
	}
	for _, verdict := range []string{"within", "unconfirmed", "conflict", "over", "unsettled"} {
		if seen[verdict] == 0 {
			t.Errorf("no record is %s: %v", verdict, seen)
		}
	}
}

// recorded is what the bytes of a record say.
func recorded(t *testing.T, forms map[string][]byte) (verdict string, questions []string) {
	t.Helper()
	folder := folderOf(forms)
	jobs, _ := flow.Read(folder, flow.Options{}, true).All()
	d, err := flow.Find(jobs[0], folder, flow.Options{Program: "2.0.0"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := d.Result(flow.Options{Program: "2.0.0"})
	if err != nil {
		t.Fatal(err)
	}
	var says struct {
		Verdict   string
		Questions []struct {
			Code     string
			Answered bool
		}
	}
	if err := json.Unmarshal(r.Line, &says); err != nil {
		t.Fatal(err)
	}
	for _, q := range says.Questions {
		if !q.Answered {
			questions = append(questions, q.Code)
		}
	}
	return says.Verdict, questions
}

// coverageOf counts the determined quantities whose value ± U holds the truth.
func coverageOf(s *derive.Solution, truths map[string]float64) (in, all int) {
	for _, q := range s.Results().Quantities {
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
	if err != nil || len(files) != 7 {
		t.Fatalf("%d files of the simulator (want 7): %v", len(files), err)
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
