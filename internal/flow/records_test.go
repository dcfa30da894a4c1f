package flow

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"reconcile/internal/portable"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// demoRecords is the number of records of the demo jobs.
const demoRecords = 50

// TestDemoRecordsFollowTheSchema validates every demo job's record, and its
// plan, with a general-purpose validator.
func TestDemoRecordsFollowTheSchema(t *testing.T) {
	described, err := os.ReadFile("../record/schema.json")
	if err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(described))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:reconcile:schema:2", document); err != nil {
		t.Fatal(err)
	}
	schemas := map[string]*jsonschema.Schema{}
	for _, def := range []string{"Record", "Plan", "Visit"} {
		if schemas[def], err = c.Compile("urn:reconcile:schema:2#/$defs/" + def); err != nil {
			t.Fatal(err)
		}
	}
	records, plans := 0, 0
	for _, name := range folders(t) {
		for _, r := range recordsOf(t, name) {
			lines := map[string][]byte{"Record": r.Line}
			records++
			if r.Record.Plan != nil {
				line, err := record.Line(nil, r.Record.Plan)
				if err != nil {
					t.Fatal(err)
				}
				lines["Plan"] = line
				plans++
			}
			for def, line := range lines {
				document, err := jsonschema.UnmarshalJSON(bytes.NewReader(line))
				if err != nil {
					t.Fatalf("%s: %v", name, err)
				}
				if err := schemas[def].Validate(document); err != nil {
					t.Errorf("%s: %v", name, err)
				}
			}
		}
	}
	f := openJob(t, "before-the-visit")
	planned, _ := Read(f, Options{}, false).All()
	visit, err := PlanVisit(planned[0], Options{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	line, err := record.Line(nil, visit)
	if err != nil {
		t.Fatal(err)
	}
	if document, err = jsonschema.UnmarshalJSON(bytes.NewReader(line)); err != nil {
		t.Fatal(err)
	}
	if err := schemas["Visit"].Validate(document); err != nil {
		t.Errorf("visit: %v\n%s", err, line)
	}
	if records != demoRecords || plans < 5 {
		t.Errorf("%d records and %d plans validated (want %d and at least 5)", records, plans, demoRecords)
	}
}

// TestTheDemoRecordsHaveManyCodes: that each is in the schema, with no argument
// that is not there, TestDemoRecordsFollowTheSchema wants of the same records.
func TestTheDemoRecordsHaveManyCodes(t *testing.T) {
	seen := map[string]bool{}
	for _, name := range folders(t) {
		for _, r := range recordsOf(t, name) {
			var document map[string]json.RawMessage
			if err := json.Unmarshal(r.Line, &document); err != nil {
				t.Fatal(err)
			}
			for _, key := range []string{"do", "questions", "cannot_be", "cautions", "footnotes"} {
				var entries []map[string]any
				if err := json.Unmarshal(document[key], &entries); err != nil {
					t.Fatal(err)
				}
				for _, e := range entries {
					seen[key+" "+e["code"].(string)] = true
				}
			}
		}
	}
	if len(seen) < 20 {
		t.Errorf("%d codes in the demo records (want at least 20)", len(seen))
	}
}

// leaves calls f for every value of a document that holds no others.
func leaves(path string, v any, f func(path string, v any)) {
	switch x := v.(type) {
	case map[string]any:
		for k, y := range x {
			leaves(path+"."+k, y, f)
		}
	case []any:
		for _, y := range x {
			leaves(path, y, f)
		}
	default:
		f(path, v)
	}
}

// cellsOf are the cells of a folder's forms, as typed, with a decimal point.
func cellsOf(t *testing.T, name string) map[string]bool {
	t.Helper()
	cells := map[string]bool{}
	for _, form := range tickets.FormNames() {
		b, err := os.ReadFile(filepath.Join(jobFolders, name, form))
		if err != nil {
			continue
		}
		for _, separator := range ",;\t" {
			c := csv.NewReader(bytes.NewReader(b))
			c.Comma, c.FieldsPerRecord, c.LazyQuotes = separator, -1, true
			rows, err := c.ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			for _, row := range rows {
				for _, cell := range row {
					cell = strings.TrimSpace(cell)
					cells[cell], cells[strings.ReplaceAll(cell, ",", ".")], cells[strings.ToLower(cell)] = true, true, true
					for _, part := range strings.Split(cell, "+") {
						cells[strings.TrimSpace(part)] = true
					}
				}
			}
		}
	}
	return cells
}

// The strings of a record that are facts without having been typed: a code, an
// accuracy class, supports joined as in on_deck, a decimal number, a date, a
// hash, the name of a schema or version.
var facts = regexp.MustCompile(`^([a-z0-9_.]*|III|IIII|III L|kN|[a-z0-9.]+(\+[a-z0-9.]+)+|-?[0-9]+(\.[0-9]+)?|([0-9]{4}-[0-9]{2}-[0-9]{2} ?)?([0-9]{2}:[0-9]{2}(:[0-9]{2}(Z|[-+][0-9]{2}:[0-9]{2})?)?)?|[0-9a-f]{64}|reconcile-(record|plan)/[0-9])$`)

// TestNoSentenceInADemoRecord wants every string to be a fact or a cell of the
// forms.
func TestNoSentenceInADemoRecord(t *testing.T) {
	strs, typed := 0, 0
	for _, name := range folders(t) {
		cells := cellsOf(t, name)
		for _, r := range recordsOf(t, name) {
			var document any
			if err := json.Unmarshal(r.Line, &document); err != nil {
				t.Fatal(err)
			}
			leaves("", document, func(path string, v any) {
				s, ok := v.(string)
				if !ok {
					return
				}
				strs++
				switch {
				case facts.MatchString(s):
				case cells[s]:
					typed++
				default:
					t.Errorf("%s: %s is %q, which is no fact and was not typed", name, path, s)
				}
			})
		}
	}
	if strs < 10_000 || typed < 500 {
		t.Errorf("%d strings, %d of them typed (want more than 10,000 and 500)", strs, typed)
	}
}

// TestNumbersAreOnTheirGrid wants every number rounded at the door: masses,
// lengths and moments to 1e-6, all else to 1e-9 (contract, section 4).
func TestNumbersAreOnTheirGrid(t *testing.T) {
	masses, others := 0, 0
	for _, name := range folders(t) {
		for _, r := range recordsOf(t, name) {
			d := json.NewDecoder(bytes.NewReader(r.Line))
			d.UseNumber()
			var document any
			if err := d.Decode(&document); err != nil {
				t.Fatal(err)
			}
			leaves("", document, func(path string, v any) {
				n, ok := v.(json.Number)
				if !ok {
					return
				}
				x, err := n.Float64()
				key := path[strings.LastIndexByte(path, '.')+1:]
				round, count := portable.Ratio, &others
				if key == "kg" || strings.HasSuffix(key, "_kg") || strings.HasSuffix(key, "_mm") || strings.HasSuffix(key, "_kgm") || strings.Contains(path, ".lengths_mm.") {
					round, count = portable.Kg, &masses
				}
				*count++
				if err != nil || round(x) != x || strconv.FormatFloat(x, 'f', -1, 64) != n.String() {
					t.Errorf("%s: %s is %s", name, path, n)
				}
			})
		}
	}
	if masses < 5000 || others < 1000 {
		t.Errorf("%d masses and %d other numbers (want more than 5,000 and 1,000)", masses, others)
	}
}

// TestARecordIsReadBackAsItWasWritten takes every demo record through Parse.
func TestARecordIsReadBackAsItWasWritten(t *testing.T) {
	n := 0
	for _, name := range folders(t) {
		for _, r := range recordsOf(t, name) {
			back, err := record.Parse(r.Line, 0)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if d := record.Differences(back, r.Record); len(d) > 0 {
				t.Errorf("%s: read back it differs: %v", name, d)
			}
			n++
		}
	}
	if n != demoRecords {
		t.Errorf("%d records (want %d)", n, demoRecords)
	}
}

// TestEveryDemoJobIsDrawn draws the pages of every demo record.
func TestEveryDemoJobIsDrawn(t *testing.T) {
	n := 0
	for _, name := range folders(t) {
		for _, r := range recordsOf(t, name) {
			pdf, _, err := r.Summary(nil)
			if err != nil || !bytes.HasPrefix(pdf, []byte("%PDF-")) {
				t.Errorf("%s: %d bytes (%v)", name, len(pdf), err)
			}
			n++
		}
	}
	if n != demoRecords {
		t.Errorf("%d drawn (want %d)", n, demoRecords)
	}
}

// TestDeriveWithWhatIsGiven: number, replaces, copies and an earlier record
// are in the record that Build made, each attached file with its hash.
func TestDeriveWithWhatIsGiven(t *testing.T) {
	earlier := recordsOf(t, "planetarium")[0].Line
	f := Folder{
		Forms:    []tickets.Form{{Name: "tickets.csv", Bytes: []byte("ticket,setup,on_deck,reading,copy\n1,trailer_alone,all,2480,slip.jpg\n")}},
		CopySize: func(string) (int64, error) { return 0, nil },
		ReadFile: func(name string) ([]byte, error) { return []byte("abc"), nil },
	}
	o := Options{Program: testProgram, Unit: "lb", Short: true, SignedBy: &record.Signer{Name: "A", Fingerprint: strings.Repeat("A", 64)},
		Number: "P-7", Replaces: &record.Replaces{Number: "P-6", RecordSHA256: strings.Repeat("0", 64), Because: "wrong plate"}, Earlier: earlier}
	r, err := resultOf(firstJob(f, o), f, o)
	if err != nil {
		t.Fatal(err)
	}
	// SHA-256 of "abc": FIPS 180-2, appendix B.1
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	in := r.Record.Inputs
	if len(in) != 3 || in[1].File != "slip.jpg" || in[1].SHA256 != abc || in[2].File != "earlier.json" || in[2].SHA256 != r.Record.Options.After {
		t.Errorf("inputs %+v, after %s", in, r.Record.Options.After)
	}
	if len(r.Files) != len(in) || r.Say.Earlier == nil || r.Say.Earlier.Job != "" || r.Record.Issuer.Number != "P-7" || r.Record.Replaces.Because != "wrong plate" {
		t.Errorf("%d files, earlier %v, %+v, %+v", len(r.Files), r.Say.Earlier != nil, r.Record.Issuer, r.Record.Replaces)
	}
	if got := fmt.Sprintf("%+v", r.Record.Options); !strings.Contains(got, "Rule:guarded") || !strings.Contains(got, "Paper:a4 Unit:lb Short:true") {
		t.Errorf("options %s", got)
	}
	o.Earlier = []byte("{}\n")
	if _, err := resultOf(firstJob(f, o), f, o); err == nil {
		t.Error("an earlier record that is none is taken")
	}
}
