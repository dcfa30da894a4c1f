package pdfout

import (
	"bytes"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/study"
	"reconcile/internal/words"
)

// tool runs another's program on the file and returns what it prints. Where
// the program is missing the test is skipped, and fails under CI.
func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	return toolAt(t, study.Tool(t, name), args...)
}

// toolAt runs the program at path.
func toolAt(t *testing.T, path string, args ...string) string {
	t.Helper()
	var out, complaint bytes.Buffer
	c := exec.Command(path, args...)
	c.Stdout, c.Stderr = &out, &complaint
	if err := c.Run(); err != nil {
		t.Fatalf("%s %s: %v\n%s%s", filepath.Base(path), strings.Join(args, " "), err, &out, &complaint)
	}
	return out.String()
}

// drawn draws r into a file of its own and returns its name and bytes.
func drawn(t *testing.T, r *record.Record, attachments ...record.File) (file string, pdf []byte) {
	t.Helper()
	pdf, err := Draw(words.Of(r, nil), lineOf(t, r), attachments, nil)
	if err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), "summary.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	return file, pdf
}

func lineOf(t *testing.T, r *record.Record) []byte {
	t.Helper()
	line, err := record.Line(nil, r)
	if err != nil {
		t.Fatal(err)
	}
	return line
}

// examples are demo jobs, one for each way a summary can come out.
var examples = map[string]string{"within": "planetarium", "over": "over-rear-axle", "unsettled": "unsettled-download", "incomplete": "planetarium-no-ratings",
	"conflict": "planetarium-conflict", "sets": "planned-upgrade", "tensioned": "slack-and-tensioned", "pounds": "multi-deck-pounds"}

// example is a copy of a demo job's record, with what an operator adds.
func example(t *testing.T, name string) *record.Record {
	t.Helper()
	r := allJobs(t)[examples[name]]
	if r == nil {
		t.Fatalf("no demo job %q", examples[name])
	}
	r, err := record.Parse(lineOf(t, r), 0)
	if err != nil {
		t.Fatal(err)
	}
	r.Job = "planetarium, " + name
	i := &r.Issuer
	i.Name, i.Address, i.Licence = "Quarry Road Weighing Service", "14 Quarry Road, Northfield", "WB 3317"
	i.Phone, i.Email, i.NextNumber, i.Number = "08 5550 0142", "weigh@quarryroad.example", "", "1042"
	if name == "unsettled" {
		r.Options.Paper = "letter"
	}
	return r
}

// eachExample runs a check on every example.
func eachExample(t *testing.T, check func(t *testing.T, r *record.Record)) {
	for _, name := range slices.Sorted(maps.Keys(examples)) {
		t.Run(name, func(t *testing.T) { check(t, example(t, name)) })
	}
}

// nasty is a record whose every name is meant to break the page.
func nasty(t *testing.T) *record.Record {
	r := example(t, "over")
	long := strings.Repeat("Überlandsternwartenanhängerverleihgesellschaft", 7)[:300]
	r.Job = ")(\\ <<>> (Tj \U0001F52D"
	r.Outfit.Owner = "Αστέρια και Планетарий Ľubomíra Křížová 天文館 \U0001F30C\u202Eevil\x00\x1b[31m\nsecond line\tend"
	r.Outfit.Vehicle, r.Outfit.VehicleID = long, strings.Repeat("W", 300)
	r.Outfit.Trailer = strings.Repeat("dome-trailer", 25)
	r.Outfit.WeighedBy, r.Issuer.Name = long, long
	for i := range r.Readings {
		r.Readings[i].Ticket, r.Readings[i].Site, r.Readings[i].Note = long, long, long
		r.Readings[i].WeighedAt = "not a time"
	}
	for i := range r.Checks {
		r.Checks[i].On = long
	}
	for i := range r.Ratings {
		r.Ratings[i].Source, r.Ratings[i].Note = long, "\U0001F600 "+long
	}
	for range 12 { // line 1 longer than a page is wide, by far
		r.Do = append(r.Do, record.Do{Code: "look_again", Args: &record.Args{File: long, AtLine: 3, Name: long}})
	}
	q := add(&r.Questions)
	q.Code, q.File, q.Line, q.Args = "with_everywhere", "tickets.csv", 2, &record.Args{Name: long}
	return r
}

// many has 60 readings.
func many(t *testing.T) *record.Record {
	r := example(t, "within")
	for len(r.Readings) < 60 {
		next := r.Readings[len(r.Readings)%6]
		next.Line = len(r.Readings) + 2
		r.Readings = append(r.Readings, next)
	}
	return r
}

// bare is a record in which everything that can be missing is.
func bare(t *testing.T) *record.Record {
	r := example(t, "tensioned")
	for i := range r.Quantities {
		r.Quantities[i].Value = nil
	}
	for i := range r.Readings {
		v := &r.Readings[i]
		v.CorrectionKg, v.ReconciledKg, v.UKg, v.ResidualKg, v.Standardised, v.Redundancy, v.SmallestDetectableKg, v.People = nil, nil, nil, nil, nil, nil, nil, nil
	}
	for i := range r.Checks {
		c := &r.Checks[i]
		c.ValueKg, c.UKg, c.MarginKg, c.POver, c.NeededKg, c.MistakeEffectKg, c.Verdict = nil, nil, nil, nil, nil, nil, "not_weighed"
		c.ValueKN, c.UKN, c.MarginKN = nil, nil, nil
	}
	r.Fit.PValue, r.Fit.WithoutTies.PValue = nil, nil
	noLengths(&r.Outfit)
	r.Outfit.People, r.Outfit.RearAxles, r.Outfit.TrailerAxles = nil, nil, nil
	add(&r.Guides).Guide = "download_share"
	return r
}

// noLengths takes the lengths of an outfit away.
func noLengths(o *record.Outfit) { o.LengthsMm = record.Outfit{}.LengthsMm }

// most are the records that a plain run checks in complete files: those meant to
// break a page and one usual job. A study takes everything, and every demo job.
func most(t *testing.T) map[string]*record.Record {
	t.Helper()
	if study.Full() {
		all := everything(t)
		maps.Copy(all, allJobs(t))
		return all
	}
	return map[string]*record.Record{"nasty": nasty(t), "many": many(t), "empty": {}, "unsettled": example(t, "unsettled")}
}

// everything is all records that the checks of complete files run on.
func everything(t *testing.T) map[string]*record.Record {
	all := map[string]*record.Record{"nasty": nasty(t), "many": many(t), "bare": bare(t), "empty": {}}
	for _, name := range slices.Sorted(maps.Keys(examples)) {
		all[name] = example(t, name)
	}
	for name, lengths := range map[string][4]float64{"short": {1250, 360, 1100, 1000}, "long": {5600, 2100, 14000, 13000}, "hinged": {2400, 3900, 1500, 1400}} {
		r := example(t, "tensioned")
		noLengths(&r.Outfit)
		l := &r.Outfit.LengthsMm
		l.Wheelbase, l.RearAxleToCoupling, l.CouplingToTrailerAxle, l.NoseSupportToTrailerAxle = &lengths[0], &lengths[1], &lengths[2], &lengths[3]
		all[name] = r
	}
	letter := example(t, "tensioned")
	letter.Options.Paper = "letter"
	all["letter"] = letter
	return all
}
