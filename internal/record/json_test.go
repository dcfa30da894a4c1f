package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"reconcile/internal/portable"
)

// filled gives a record whose every key has a value of its own, every list two
// entries and no null.
func filled() *Record {
	var r Record
	n := 0
	fill(reflect.ValueOf(&r).Elem(), &n)
	r.Quantities = quantities{
		{"download", &quantity{inKg, 240.4105, 10.901, "difference"}}, {"download_share", &quantity{inRatio, 0.0961, 0.0044, ""}},
		{"hitch_moment", &quantity{inKgM, 12.5, 1.25, ""}}, {"vehicle_cg", &quantity{inMm, 1200.5, 3.5, ""}}, {"trailer_cg", nil},
	}
	r.Budgets = budgets{{"download", []cause{{"reading", 7, "nose", "", 1.5}, {"tie", 0, "", "vehicle", 0.5}}}, {"front_lift", []cause{}}}
	return &r
}

func fill(v reflect.Value, n *int) {
	if !v.CanSet() { // memory, which no JSON has
		return
	}
	*n++
	switch v.Kind() {
	case reflect.String:
		v.SetString("s" + strconv.Itoa(*n))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int:
		v.SetInt(int64(*n))
	case reflect.Float64:
		v.SetFloat(float64(*n) + 0.5)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), n)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			fill(v.Index(i), n)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).Tag.Get("json") != "-" {
				fill(v.Field(i), n)
			}
		}
	}
}

// The writer against encoding/json: for values that both write alike (no
// exponents, nothing escaped, no null list) the bytes are the same.
func TestTheWriterAgreesWithEncodingJSON(t *testing.T) {
	r := filled()
	parts := []any{
		r.Options, r.Fit, r.Do, r.Governs, r.CannotBe, r.Questions, r.Readings, r.Ties, r.Loads, r.Checks, r.NotGiven,
		r.Declared, r.Mistakes, r.Trip, r.HitchRange, r.Levers, r.Replaces, r.Guides, r.Advice, r.Cautions, r.Footnotes,
		r.Inputs, r.Outfit, r.Issuer, r.Scales, r.Ratings, r.Routes, r.Doubtful, r.Headroom, r.Imbalance, r.Plan, r.MistakesComplete,
	}
	if want := reflect.TypeFor[Record]().NumField() - 10; len(parts) != want { // less the six scalars, quantities, budgets and what memory it has
		t.Fatalf("%d parts compared (want %d)", len(parts), want)
	}
	for _, part := range parts {
		want, err := json.Marshal(part)
		if err != nil {
			t.Fatal(err)
		}
		got, err := appendValue(nil, reflect.ValueOf(part))
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("%T is written\n%s\nencoding/json writes\n%s (%v)", part, got, want, err)
		}
	}
}

// encoding/json reads the entire line, and finds the keys in the order of the
// contract, section 4.
func TestTheKeysOfALineAreInTheContractsOrder(t *testing.T) {
	line, err := Line(nil, filled())
	if err != nil {
		t.Fatal(err)
	}
	d := json.NewDecoder(bytes.NewReader(line))
	var keys []string
	for depth := 0; ; {
		token, err := d.Token()
		if err != nil {
			t.Fatal(err)
		}
		switch token {
		case json.Delim('{'), json.Delim('['):
			depth++
			continue
		case json.Delim('}'), json.Delim(']'):
			depth--
		default:
			if depth == 1 {
				keys = append(keys, token.(string))
				var value json.RawMessage
				if err := d.Decode(&value); err != nil {
					t.Fatal(err)
				}
			}
		}
		if depth == 0 {
			break
		}
	}
	// Contract, section 4: the document shown, then "further keys, always there".
	want := "schema program model job options verdict agreement fit do governs cannot_be questions quantities readings ties loads " +
		"checks not_given declared budgets mistakes trip hitch_range levers replaces guides advice cautions footnotes inputs " +
		"outfit issuer scales ratings routes doubtful headroom imbalance plan " +
		"mistakes_complete" // section 9: says when it stopped
	if got := strings.Join(keys, " "); got != want {
		t.Errorf("keys\n%s\nwant\n%s", got, want)
	}
	// Contract, section 4: the spelling of quantities.
	part := `"quantities":{"download":{"value_kg":240.4105,"u_kg":10.901,"basis":"difference"},"download_share":{"value":0.0961,"u":0.0044},` +
		`"hitch_moment":{"value_kgm":12.5,"u_kgm":1.25},"vehicle_cg":{"value_mm":1200.5,"u_mm":3.5},"trailer_cg":null}`
	if !bytes.Contains(line, []byte(part)) {
		t.Errorf("the line lacks %s:\n%s", part, line)
	}
}

// Contract, section 4: without exponent, trailing zeros trimmed, −0 as 0.
func TestNumbersAreWrittenOneWay(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {1, "1"}, {-1.5, "-1.5"}, {2.50, "2.5"}, {1e-9, "0.000000001"}, {-1e-9, "-0.000000001"},
		{1e21, "1000000000000000000000"}, {240.410526, "240.410526"}, {0.1, "0.1"}, {1.0 / 3, "0.3333333333333333"},
	} {
		if got, err := appendNumber(nil, c.v); err != nil || string(got) != c.want {
			t.Errorf("%g is written %s (want %s, %v)", c.v, got, c.want, err)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if got, err := appendNumber(nil, v); !errors.Is(err, errNotFinite) {
			t.Errorf("%g is written %s", v, got)
		}
	}
	r := filled()
	*r.Checks[1].UKg = math.NaN()
	if _, err := Line(nil, r); err == nil || err.Error() != "checks[1].u_kg: is not a finite number" {
		t.Errorf("a record with a NaN: %v", err)
	}
}

// Every number is written as package strconv writes its shortest digits, on the grids
// of package portable, next to them, and anywhere else.
func TestNumbersAreWrittenLikeTheirShortestDigits(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 18))
	check := func(v float64) {
		t.Helper()
		want := strconv.FormatFloat(v+0, 'f', -1, 64)
		if got, err := appendNumber(nil, v); err != nil || string(got) != want {
			t.Fatalf("%g is written %s (want %s, %v)", v, got, want, err)
		}
	}
	for _, edge := range []float64{0, 1e-9, 5e-10, 1e-6, 1, 999_999.999_999_999, 1e6, 1e6 + 1e-9, 1e15, 1 << 53, math.MaxFloat64, math.SmallestNonzeroFloat64} {
		for _, v := range []float64{edge, math.Nextafter(edge, 0), math.Nextafter(edge, math.Inf(1))} {
			if !math.IsInf(v, 0) {
				check(v)
				check(-v)
			}
		}
	}
	for range 200_000 {
		size := math.Pow(10, float64(r.IntN(10)-1))
		v := (2*r.Float64() - 1) * size
		for _, v := range []float64{v, portable.Kg(v), portable.Ratio(v), math.Round(v)} {
			check(v)
			check(math.Nextafter(v, math.Inf(1)))
		}
	}
}

// RFC 8259, section 7: quote, backslash and U+0000 to U+001F must be escaped;
// nothing else is.
func TestStringsAreWrittenOneWay(t *testing.T) {
	for c := range rune(0x3000) {
		s := "a" + string(c) + "b"
		got, err := appendString(nil, s)
		if err != nil {
			t.Fatalf("%q: %v", s, err)
		}
		var back string
		if err := json.Unmarshal(got, &back); err != nil || back != s {
			t.Fatalf("%q is written %s, which encoding/json reads as %q (%v)", s, got, back, err)
		}
		if escaped := bytes.IndexByte(got, '\\') >= 0; escaped != (c < ' ' || c == '"' || c == '\\') {
			t.Fatalf("%q is written %s", s, got)
		}
	}
	for s, want := range map[string]string{"<&>": `"<&>"`, "\t": `"\t"`, "\x01": `"\u0001"`, "\x1f": `"\u001f"`, "\u2028": "\"\u2028\"", "😀": `"😀"`} {
		if got, err := appendString(nil, s); err != nil || string(got) != want {
			t.Errorf("%q is written %s (want %s, %v)", s, got, want, err)
		}
	}
	r := filled()
	r.Readings[0].Note = "\xff"
	if _, err := Line(nil, r); err == nil || err.Error() != "readings[0].note: is not UTF-8" {
		t.Errorf("a record with a string that is not UTF-8: %v", err)
	}
}

func TestAnEmptyListIsNeverNull(t *testing.T) {
	line, err := Line(nil, &Record{Do: []Do{{Code: "drive"}}})
	if err != nil || !bytes.Contains(line, []byte(`"do":[{"code":"drive"}],"governs":null,"cannot_be":[],"questions":[],"quantities":{},"readings":[]`)) {
		t.Errorf("%s (%v)", line, err)
	}
}

func TestParseGivesTheRecordBack(t *testing.T) {
	for _, want := range []*Record{filled(), {}} {
		line, err := Line(nil, want)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Parse(line, 0)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Line(nil, got)
		if err != nil || !bytes.Equal(again, line) {
			t.Errorf("read and written again\n%s\nwas\n%s (%v)", again, line, err)
		}
		if want.Job != "" && !reflect.DeepEqual(got, want) {
			t.Errorf("read back it differs: %v", Differences(got, want))
		}
	}
}

// TestParseOfSomeKeys: the keys asked for are as in the whole record and the others
// blank, whatever brackets and quotes stand in the values that are passed over.
func TestParseOfSomeKeys(t *testing.T) {
	want := filled()
	want.Job, want.Outfit.Owner = `a "job", with ]} \`, `,"inputs":[{"]}\"`
	line, err := Line(nil, want)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Parse(line, 0, "job", "inputs", "issuer", "mistakes_complete")
	if err != nil {
		t.Fatal(err)
	}
	some := &Record{Job: want.Job, Inputs: want.Inputs, Issuer: want.Issuer, MistakesComplete: want.MistakesComplete}
	if !reflect.DeepEqual(got, some) {
		t.Errorf("got %+v\nwant %+v", got, some)
	}
	for end := range len(line) - len("}\n") { // a line that was cut
		if _, err := Parse(line[:end], 0, "job", "issuer", "mistakes_complete"); err == nil {
			t.Fatalf("the first %d bytes are read as a record", end)
		}
	}
}

// Each of these says the same as the record, or nearly, and Line writes none of them.
func TestParseRefusesWhatLineDoesNotWrite(t *testing.T) {
	line, err := Line(nil, filled())
	if err != nil {
		t.Fatal(err)
	}
	s := string(line)
	for _, c := range []struct{ name, old, new, where string }{
		{"an unknown key", `"trip":`, `"note":"","trip":`, "trip"},
		{"a repeated key", `"job":"s5"`, `"job":"s5","job":"s5"`, "options"},
		{"keys in another order", `"value":0.0961,"u":0.0044`, `"u":0.0044,"value":0.0961`, "quantities.download_share"},
		{"a missing key", `"agreement":"s20",`, ``, "agreement"},
		{"a quantity twice", `"trailer_cg":null`, `"trailer_cg":null,"trailer_cg":null`, "quantities.trailer_cg"},
		{"a space", `"model":4`, `"model": 4`, "model"},
		{"a trailing zero", `10.901`, `10.9010`, "quantities.download.u_kg"},
		{"an exponent", `"u_kg":10.901`, `"u_kg":1.0901e1`, "quantities.download.u_kg"},
		{"a minus before zero", `"line":0`, `"line":-0`, "budgets.download[1].line"},
		{"an escape that is not needed", `"job":"s5"`, `"job":"\u00735"`, "job"},
		{"an escaped solidus", `"job":"s5"`, `"job":"\/"`, "job"},
		{"an argument that is empty", `"args":{"rating"`, `"args":{"rating":"","on":"x","rating"`, "do[0].args.rating"},
		{"a null that is none", `"job":"s5"`, `"job":null`, "job"},
		{"more digits than a float64 has", `240.4105`, `240.41050000000000001`, "quantities.download.value_kg"},
		{"a number too large", `240.4105`, strings.Repeat("9", 400), "quantities.download.value_kg"},
		{"an unknown unit", `"value_mm"`, `"value_in"`, "quantities.vehicle_cg"},
		{"a comma at an end", `"trailer_cg":null}`, `"trailer_cg":null,}`, "quantities"},
	} {
		changed := strings.Replace(s, c.old, c.new, 1)
		if changed == s {
			t.Fatalf("%s: %s is not in the line", c.name, c.old)
		}
		_, err := Parse([]byte(changed), 0)
		if err == nil || !strings.HasPrefix(err.Error(), c.where+": ") {
			t.Errorf("%s: %v (want an error at %s)", c.name, err, c.where)
		}
	}
	for _, bad := range []string{"", "{}\n", s[:len(s)-1], s + "\n", s + "{}", " " + s, "\xef\xbb\xbf" + s} {
		if _, err := Parse([]byte(bad), 0); err == nil {
			t.Errorf("%.20q… is read", bad)
		}
	}
}

// Whatever single byte of a line is lost, doubled or turned (every eleventh is
// tried), either it is refused or it is the line of another record.
func TestParseOfDamagedLines(t *testing.T) {
	line, err := Line(nil, filled())
	if err != nil {
		t.Fatal(err)
	}
	read := 0
	for i := 0; i < len(line); i += 11 {
		for _, damaged := range [][]byte{
			append(bytes.Clone(line[:i]), line[i+1:]...),
			append(append(bytes.Clone(line[:i]), line[i]), line[i:]...),
			append(append(bytes.Clone(line[:i]), line[i]^1), line[i+1:]...),
		} {
			r, err := Parse(damaged, 0)
			if err != nil {
				continue
			}
			read++
			if again, err := Line(nil, r); err != nil || !bytes.Equal(again, damaged) {
				t.Fatalf("byte %d: read, and written otherwise", i)
			}
		}
	}
	if read == 0 || read > len(line)/11 {
		t.Errorf("%d of %d damaged lines were read (want some, fewer than were refused)", read, 3*len(line)/11)
	}
}

// Contract, section 9: lists longer than forms can make are refused before
// they take memory.
func TestParseIsBounded(t *testing.T) {
	r := Record{Doubtful: make([][]Place, mostEntries)}
	line, err := Line(nil, &r)
	if err != nil {
		t.Fatal(err)
	}
	var wrong *KeyError
	if _, err := Parse(line, mostEntries-1); !errors.As(err, &wrong) || !wrong.TooLong || wrong.Path != "doubtful" {
		t.Errorf("one empty set more than allowed: %v", err)
	}
	if _, err := Parse(line, 0); err != nil {
		t.Errorf("as many empty sets as any record may have: %v", err)
	}
	longer := bytes.Replace(line, []byte(`"doubtful":[[]`), []byte(`"doubtful":[[],[]`), 1)
	if _, err := Parse(longer, 2*mostEntries); !errors.As(err, &wrong) || !wrong.TooLong {
		t.Errorf("one empty set more than any record may have: %v", err)
	}
	million := bytes.Replace(line, []byte(`"readings":[]`), []byte(`"readings":[`+strings.Repeat("{},", 999_999)+`{}]`), 1)
	allocated := testing.AllocsPerRun(1, func() {
		if _, err := Parse(million, 2_000_000); err == nil {
			t.Error("a million empty readings are read")
		}
	})
	if allocated > 1000 {
		t.Errorf("%v allocations for a million empty readings (want it refused at the first)", allocated)
	}
}

// Every leaf of a record, changed alone, is named by its path and both values.
func TestDifferencesNameEveryKey(t *testing.T) {
	seen := map[string]bool{}
	a, untouched := filled(), filled()
	var walk func(v reflect.Value, path string)
	walk = func(v reflect.Value, path string) {
		switch v.Kind() {
		case reflect.Struct:
			for _, f := range fieldsOf(v.Type()) {
				walk(v.FieldByIndex(f.index), joined(path, f.key))
			}
			return
		case reflect.Pointer:
			walk(v.Elem(), path)
			return
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i), fmt.Sprintf("%s[%d]", path, i))
			}
			return
		}
		was := reflect.New(v.Type()).Elem()
		was.Set(v)
		old := text(v)
		switch v.Kind() {
		case reflect.String:
			v.SetString(v.String() + "x")
		case reflect.Bool:
			v.SetBool(!v.Bool())
		case reflect.Int:
			v.SetInt(v.Int() + 1)
		case reflect.Float64:
			v.SetFloat(v.Float() + 1e-9)
		case reflect.Array:
			v.Index(1).SetInt(v.Index(1).Int() + 1)
		default:
			t.Fatalf("%s is a %s", path, v.Kind())
		}
		if got, want := Differences(a, untouched), []difference{{path, text(v), old}}; !reflect.DeepEqual(got, want) {
			t.Errorf("%s changed: %v (want %v)", path, got, want)
		}
		v.Set(was)
		seen[path] = true
	}
	q, b := a.Quantities, a.Budgets
	v := reflect.ValueOf(a).Elem()
	for _, f := range fieldsOf(v.Type()) {
		if f.key != "quantities" && f.key != "budgets" {
			walk(v.FieldByIndex(f.index), f.key)
		}
	}
	if len(seen) < 500 || !seen["checks[1].limit_kg"] || !seen["plan.moves[0].to"] {
		t.Errorf("%d keys were changed (want every one)", len(seen))
	}
	a.Quantities, a.Budgets = q, b
	a.Quantities[0].Value.U = 10.902
	a.Budgets[0].Value[1].UKg = 0.6
	want := []difference{
		{"quantities.download", `{"value_kg":240.4105,"u_kg":10.902,"basis":"difference"}`, `{"value_kg":240.4105,"u_kg":10.901,"basis":"difference"}`},
		{"budgets.download[1].u_kg", "0.6", "0.5"},
	}
	if got := Differences(a, filled()); !reflect.DeepEqual(got, want) {
		t.Errorf("%v (want %v)", got, want)
	}
}

func TestDifferencesOfListsAndOrder(t *testing.T) {
	a, b := filled(), filled()
	if d := Differences(a, b); d != nil {
		t.Errorf("a record differs from itself: %v", d)
	}
	a.NotGiven = a.NotGiven[:1]
	a.Trip = nil
	a.Quantities[0], a.Quantities[1] = a.Quantities[1], a.Quantities[0]
	got := Differences(a, b)
	if len(got) != 3 || got[0].Path != "quantities" || got[1].Path != "not_given[1]" || got[1].Old != "" || got[2].Path != "trip" || got[2].Old != "null" {
		t.Errorf("%+v", got)
	}
}
