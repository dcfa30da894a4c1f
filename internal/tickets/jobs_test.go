package tickets

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io/fs"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"
)

// manyJobs is a folder of three jobs, mixed on purpose: lines of jobs
// alternate, some lines hold for every job, one has a quoted line feed.
const manyJobs = `-- tickets.csv --
# a day at the bridge
job,ticket,weighed_at,scale,setup,on_deck,reading,note
ash,1,14/03/2026 09:20,bridge,coupled,front,1500,
birch,2,14/03/2026 09:30,bridge,vehicle_alone,vehicle,2760,"wet,
and windy"

ash,3,14/03/2026 09:24,bridge,coupled,rear,2260,
cedar,4,14/03/2026 10:05,bridge,trailer_alone,trailer,2440,
ash,5,14/03/2026 09:27,bridge,coupled,trailer,2840,
-- ratings.csv --
job,rating,on,value,copy
ash,gvm,,3500,
,download_max,ball,350,ticket.jpg
birch,gvm,,3000,
-- outfit.csv --
job,owner,weighed_by,people,region
,,Harbour Weighing,,au
ash,Skylark Planetarium,,2,
birch,Birch,Night shift,,
-- scales.csv --
scale,interval,unit,copy
bridge,20,kg,ticket.jpg
-- issuer.csv --
job,name,next_number
,Harbour Weighing,2026-0099
cedar,,C-7
`

func readMany(t *testing.T, forms []Form) folderRead {
	t.Helper()
	res := readFolder(forms, Options{NeedTickets: true, CopySize: onlyPhoto})
	if len(res.Faults) > 0 {
		t.Fatal(showFaults(res.Faults))
	}
	return res
}

func TestManyJobs(t *testing.T) {
	res := readMany(t, formsOf(manyJobs))
	equal(t, "order", strings.Join(res.Order, " "), "ash birch cedar")
	equal(t, "jobs", len(res.Jobs), 3)
	equal(t, "has jobs", res.HasJobs, true)
	ash, birch, cedar := res.Jobs[0], res.Jobs[1], res.Jobs[2]
	equal(t, "readings of ash", len(ash.Readings), 3)
	equal(t, "owner of ash", ash.Outfit.Owner, "Skylark Planetarium")
	equal(t, "weigher of ash, from the line without a job", ash.Outfit.WeighedBy, "Harbour Weighing")
	equal(t, "weigher of birch, its own", birch.Outfit.WeighedBy, "Night shift")
	equal(t, "line of ash's outfit", ash.Outfit.Line, 3)
	equal(t, "line of cedar's outfit, that of no job", cedar.Outfit.Line, 2)
	equal(t, "region of cedar", cedar.Region, "au")
	equal(t, "ratings of ash", fmt.Sprint(ash.Ratings[0].Line, ash.Ratings[1].Line, len(ash.Ratings)), "2 3 2")
	equal(t, "ratings of cedar", len(cedar.Ratings), 1)
	equal(t, "next number of ash, from the line without a job", ash.Issuer.NextNumber, "2026-0099")
	equal(t, "next number of cedar, its own", cedar.Issuer.NextNumber, "C-7")
	equal(t, "name of cedar's issuer", cedar.Issuer.Name, "Harbour Weighing")
	equal(t, "copies", strings.Join(ash.Copies, " "), "ticket.jpg")
}

// TestInputs holds the bytes attached to a job: never a line of another job.
func TestInputs(t *testing.T) {
	res := readMany(t, formsOf(manyJobs))
	birch := res.Jobs[1]
	want := []input{
		{"tickets.csv", []byte("job,ticket,weighed_at,scale,setup,on_deck,reading,note\nbirch,2,14/03/2026 09:30,bridge,vehicle_alone,vehicle,2760,\"wet,\nand windy\"\n"), [][2]int{{2, 2}, {4, 5}}},
		{"ratings.csv", []byte("job,rating,on,value,copy\n,download_max,ball,350,ticket.jpg\nbirch,gvm,,3000,\n"), [][2]int{{1, 1}, {3, 4}}},
		{"outfit.csv", []byte("job,owner,weighed_by,people,region\n,,Harbour Weighing,,au\nbirch,Birch,Night shift,,\n"), [][2]int{{1, 2}, {4, 4}}},
		{"scales.csv", []byte("scale,interval,unit,copy\nbridge,20,kg,ticket.jpg\n"), nil},
		{"issuer.csv", []byte("job,name,next_number\n,Harbour Weighing,2026-0099\n"), [][2]int{{1, 2}}},
	}
	if len(birch.Inputs) != len(want) {
		t.Fatalf("%d inputs, want %d", len(birch.Inputs), len(want))
	}
	for i, in := range birch.Inputs {
		if in.File != want[i].File || !slices.Equal(in.Lines, want[i].Lines) || !bytes.Equal(in.Bytes, want[i].Bytes) {
			t.Errorf("input is %s %v\n%s\nwant %s %v\n%s", in.File, in.Lines, in.Bytes, want[i].File, want[i].Lines, want[i].Bytes)
		}
	}
}

// encodings are ways to write a form; each must come back byte for byte.
var encodings = []struct {
	name  string
	write func(string) []byte
}{
	{"plain", func(s string) []byte { return []byte(s) }},
	{"mark", func(s string) []byte { return []byte("\ufeff" + s) }},
	{"carriage returns", func(s string) []byte { return []byte(strings.ReplaceAll(s, "\n", "\r\n")) }},
	{"little endian", func(s string) []byte { return twoBytes(s, binary.LittleEndian) }},
	{"big endian", func(s string) []byte { return twoBytes(strings.ReplaceAll(s, "\n", "\r\n"), binary.BigEndian) }},
	{"no last line feed", func(s string) []byte { return []byte(strings.TrimSuffix(s, "\n")) }},
}

func twoBytes(s string, order binary.AppendByteOrder) []byte {
	b := order.AppendUint16(nil, 0xfeff)
	for _, u := range utf16.Encode([]rune(s)) {
		b = order.AppendUint16(b, u)
	}
	return b
}

// TestReadInputsAgain reads the bytes attached to each job again: the job is
// the same, with its line numbers and its bytes.
func TestReadInputsAgain(t *testing.T) {
	n := 0
	for _, e := range encodings {
		forms := formsOf(manyJobs)
		for i := range forms {
			forms[i].Bytes = e.write(string(forms[i].Bytes))
		}
		for _, job := range readMany(t, forms).Jobs {
			n++
			again := readAgain(t, job)
			if !reflect.DeepEqual(job, again) {
				t.Errorf("%s: job %s read again is\n%+v\nwas\n%+v", e.name, job.Name, again, job)
			}
		}
	}
	equal(t, "jobs read again", n, 3*len(encodings))
}

func readAgain(t *testing.T, job Job) Job {
	t.Helper()
	var forms []Form
	for _, in := range job.Inputs {
		forms = append(forms, Form{Name: in.File, Bytes: in.Bytes, Lines: in.Lines})
	}
	has := func(name string) (int64, error) {
		if !slices.Contains(job.Copies, name) {
			return 0, fs.ErrNotExist
		}
		return 0, nil
	}
	res := readFolder(forms, Options{NeedTickets: true, CopySize: has, Region: job.Region})
	if len(res.Jobs) != 1 {
		t.Fatalf("job %s read again: %s", job.Name, showFaults(res.Faults))
	}
	return res.Jobs[0]
}

// TestReadWholeFormAgain keeps comments and blank lines of a folder of one job.
func TestReadWholeFormAgain(t *testing.T) {
	forms := formsOf("-- tickets.csv --\n# dry\n\nticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,3240\n# end")
	job := readMany(t, forms).Jobs[0]
	if !bytes.Equal(job.Inputs[0].Bytes, forms[0].Bytes) || job.Inputs[0].Lines != nil {
		t.Errorf("attached %q, lines %v", job.Inputs[0].Bytes, job.Inputs[0].Lines)
	}
	if again := readAgain(t, job); !reflect.DeepEqual(job, again) {
		t.Errorf("read again is %+v, was %+v", again, job)
	}
}

// TestOneFaultOneJob stops the job of a faulty line and no other; a faulty
// line that holds for all stops all.
func TestOneFaultOneJob(t *testing.T) {
	tests := []struct{ name, old, new, stopped string }{
		{"a line of ash", "rear,2260", "rear,heavy", "ash"},
		{"a line of birch's rating", "birch,gvm,,3000", "birch,gmv,,3000", "birch"},
		{"a line that holds for all", "ball,350", "ball,heavy", "ash birch cedar"},
		{"a header", "rating,on,value", "ratng,on,value", "ash birch cedar"},
		{"a shared line that does not fit one job", "ash,gvm,,3500", "ash,tare,vehicle,3500\n,kerb,vehicle,2100", "ash"},
	}
	for _, tt := range tests {
		res := readFolder(formsOf(strings.Replace(manyJobs, tt.old, tt.new, 1)), Options{NeedTickets: true})
		equal(t, tt.name, strings.Join(res.Stopped, " "), tt.stopped)
		checkStopped(t, res)
	}
}

// TestFaultOfOneJobOnly: in a folder without a job column a faulty line stops
// its job, a faulty header stops all; the difference shows in the exit of a
// folder of many.
func TestFaultOfOneJobOnly(t *testing.T) {
	line := readFolder(formsOf("-- tickets.csv --\nticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,heavy\n"), Options{NeedTickets: true})
	header := readFolder(formsOf("-- tickets.csv --\nticket,setup,on_deck,rading\n1,vehicle_alone,vehicle,heavy\n"), Options{NeedTickets: true})
	equal(t, "a line stops all", line.Faults[0].All, false)
	equal(t, "a header stops all", header.Faults[0].All, true)
}

// TestJobsThatDifferOnlyInCapitals stops both: which of them is misspelt is not known.
func TestJobsThatDifferOnlyInCapitals(t *testing.T) {
	res := readFolder(formsOf("-- tickets.csv --\njob,ticket,setup,on_deck,reading\nash,1,vehicle_alone,vehicle,2760\nbirch,1,vehicle_alone,vehicle,2760\nAsh,2,vehicle_alone,vehicle,2760\n"), Options{NeedTickets: true})
	equal(t, "stopped", strings.Join(res.Stopped, " "), "ash Ash")
	equal(t, "read", len(res.Jobs), 1)
}

// TestOwnNameOverShared: the job's own scale is found among those of no job.
func TestOwnNameOverShared(t *testing.T) {
	res := readMany(t, formsOf(`-- tickets.csv --
job,ticket,scale,setup,on_deck,reading
a,1,pads,vehicle_alone,vehicle,2760
b,2,bridge,vehicle_alone,vehicle,2760
-- scales.csv --
job,scale,interval,deck
a,pads,5,pads
,bridge,20,
`))
	equal(t, "class of the pads", res.Jobs[0].Scale("pads").Class, "IIII")
	equal(t, "interval of the pads", res.Jobs[0].Readings[0].IntervalKg.String(), "5")
	equal(t, "class of the bridge", res.Jobs[1].Scale("bridge").Class, "III")
}

// TestLineNumbers: runs are written out and gathered again.
func TestLineNumbers(t *testing.T) {
	type runs = [][2]int
	for _, tt := range []struct {
		runs runs
		want []int
	}{{nil, nil}, {runs{{1, 1}}, []int{1}}, {runs{{1, 1}, {4, 4}, {9, 12}}, []int{1, 4, 9, 10, 11, 12}}} {
		got := expanded(tt.runs)
		if !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%v gives %v", tt.runs, got)
		}
		if again := ranges(got); !reflect.DeepEqual(again, [][2]int(tt.runs)) {
			t.Errorf("%v gathered again: %v", tt.runs, again)
		}
	}
}

// TestPlan reads ratings without tickets, as a plan does.
func TestPlan(t *testing.T) {
	res := readFolder(formsOf("-- ratings.csv --\nrating,value\ngvm,3500\n"), Options{})
	if len(res.Jobs) != 1 || len(res.Jobs[0].Ratings) != 1 {
		t.Errorf("read %+v", res)
	}
	res = readFolder(formsOf("-- ratings.csv --\njob,rating,value\na,gvm,3500\nb,gvm,3000\n"), Options{})
	equal(t, "jobs of a plan", strings.Join(res.Order, " "), "a b")
	equal(t, "jobs read", len(res.Jobs), 2)
}

// folder builds a folder of n jobs of six lines each.
func folder(n int) []Form {
	var tickets, ratings, outfit strings.Builder
	tickets.WriteString("job,ticket,weighed_at,scale,setup,on_deck,reading,people\n")
	ratings.WriteString("job,rating,on,value,unit\n")
	outfit.WriteString("job,owner,people,region\n")
	for i := range n {
		for k, deck := range []string{"front", "rear", "trailer"} {
			fmt.Fprintf(&tickets, "job %d,%d-%d,2026-03-14 09:20,bridge,coupled,%s,%d,2\n", i, i, k, deck, 1500+k*20)
		}
		fmt.Fprintf(&ratings, "job %d,gvm,,3500,kg\njob %d,axle,front,1600,kg\n", i, i)
		fmt.Fprintf(&outfit, "job %d,Owner %d,2,au\n", i, i)
	}
	return []Form{
		{Name: "tickets.csv", Bytes: []byte(tickets.String())},
		{Name: "ratings.csv", Bytes: []byte(ratings.String())},
		{Name: "outfit.csv", Bytes: []byte(outfit.String())},
		{Name: "scales.csv", Bytes: []byte("scale,interval\nbridge,20\n")},
	}
}

// TestManyJobsAreLinear compares the work of 100 and of 800 jobs in
// allocations, which do not depend on the machine: eight times the jobs may
// not cost more than ten times as many.
func TestManyJobsAreLinear(t *testing.T) {
	allocs := func(n int) float64 {
		forms := folder(n)
		return testing.AllocsPerRun(1, func() {
			if res := readFolder(forms, Options{NeedTickets: true}); len(res.Jobs) != n {
				t.Fatalf("read %d jobs of %d: %v", len(res.Jobs), n, res.Faults)
			}
		})
	}
	small, large := allocs(100), allocs(800)
	if large > 10*small {
		t.Errorf("100 jobs take %.0f allocations, 800 take %.0f", small, large)
	}
}

func BenchmarkRead(b *testing.B) {
	forms := folder(10_000)
	for b.Loop() {
		if res := readFolder(forms, Options{NeedTickets: true}); len(res.Jobs) != 10_000 {
			b.Fatal(res.Faults)
		}
	}
}

// The entries of a job lead to the ratings of that job, also those of lines for
// every job: what is found of one job says nothing of another, which may be read
// at the same time.
func TestRatingsAreTheJobsOwn(t *testing.T) {
	r := Read([]Form{
		{Name: "tickets.csv", Bytes: []byte("job,ticket,setup,on_deck,reading\na,1,vehicle_alone,all,2400\nb,2,vehicle_alone,all,2500\n")},
		{Name: "ratings.csv", Bytes: []byte("job,rating,on,value,unit\na,axle,front,1400,kg\n,gvm,,3200,kg\na,axle,rear,1800,kg\n,gcm,,6000,kg\n")},
	}, Options{NeedTickets: true})
	for i, want := range []int{4, 2} { // counted above
		j := (&desk{}).begin(r, i, &memory{})
		j.read()
		if len(j.ratings) != want || len(j.job.Ratings) != want {
			t.Fatalf("job %s: %d entries, %d ratings (want %d)", r.Names[i], len(j.ratings), len(j.job.Ratings), want)
		}
		for k := range j.ratings {
			if j.ratings[k].Rating != &j.job.Ratings[k] {
				t.Errorf("job %s: the entry of line %d leads to another rating than the job's", r.Names[i], j.ratings[k].Line)
			}
		}
	}
}
