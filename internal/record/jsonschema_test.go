package record

import (
	"bytes"
	"encoding/json"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// objectKeys gives the keys of an object in the order in which they are written.
func objectKeys(t *testing.T, raw json.RawMessage) []string {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(raw))
	if _, err := d.Token(); err != nil {
		t.Fatal(err)
	}
	var keys []string
	for d.More() {
		key, err := d.Token()
		if err != nil {
			t.Fatal(err)
		}
		keys = append(keys, key.(string))
		var value json.RawMessage
		if err := d.Decode(&value); err != nil {
			t.Fatal(err)
		}
	}
	return keys
}

// definition is what the tests look at in an entry of $defs.
type definition struct {
	Description          string
	AdditionalProperties *bool
	Required             []string
	Properties           json.RawMessage
	OneOf                []struct {
		Description   string
		PropertyNames struct{ Enum []string }
		Properties    map[string]struct {
			Const         string
			MaxProperties *int
			PropertyNames *struct{ Enum []string }
			AnyOf         []struct {
				MaxProperties *int
				PropertyNames *struct{ Enum []string }
			}
		}
	}
}

// jsonSchema is the schema of the documents: $defs has Record, Plan, Visit and
// Estimate.
func jsonSchema(t *testing.T) []byte {
	t.Helper()
	b, err := os.ReadFile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func definitions(t *testing.T) map[string]definition {
	t.Helper()
	var schema struct {
		Defs map[string]definition `json:"$defs"`
	}
	if err := json.Unmarshal(jsonSchema(t), &schema); err != nil {
		t.Fatal(err)
	}
	return schema.Defs
}

// structs gives every struct of a document by its name.
func structs(v reflect.Type, into map[string]reflect.Type) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array:
		structs(v.Elem(), into)
	case reflect.Struct:
		if name := v.Name(); !strings.HasPrefix(name, "entry[") { // written as a key and its value
			into[name] = v
		}
		for i := range v.NumField() {
			if f := v.Field(i); f.Tag.Get("json") != "-" {
				structs(f.Type, into)
			}
		}
	}
}

// The schema has every key of every struct, in its order, each described, and
// no other.
func TestTheSchemaHasEveryKey(t *testing.T) {
	all := map[string]reflect.Type{}
	for _, document := range []reflect.Type{reflect.TypeFor[Record](), reflect.TypeFor[Plan](), reflect.TypeFor[Visit](), reflect.TypeFor[Estimate]()} {
		structs(document, all)
	}
	delete(all, "quantity") // its unit decides its keys
	defs := definitions(t)
	all["Caution"], all["Footnote"] = all["Note"], all["Note"]
	delete(all, "Note")
	if len(all) != len(defs)-1 || len(all) < 40 { // less Quantity
		t.Errorf("%d structs and %d definitions", len(all), len(defs))
	}
	for name, v := range all {
		name = strings.ToUpper(name[:1]) + name[1:]
		def, ok := defs[name]
		if !ok || def.Description == "" || def.AdditionalProperties == nil || *def.AdditionalProperties {
			t.Errorf("%s is not in the schema, not described or open", name)
			continue
		}
		var keys, required []string
		for _, f := range fieldsOf(v) {
			keys = append(keys, f.key)
			if !f.omitEmpty {
				required = append(required, f.key)
			}
		}
		if got := objectKeys(t, def.Properties); !slices.Equal(got, keys) {
			t.Errorf("%s has keys %v in the schema (want %v)", name, got, keys)
		}
		if !slices.Equal(def.Required, required) {
			t.Errorf("%s requires %v (want %v)", name, def.Required, required)
		}
		var properties map[string]struct {
			Description string
			Ref         string `json:"$ref"`
		}
		if err := json.Unmarshal(def.Properties, &properties); err != nil {
			t.Fatal(err)
		}
		for key, p := range properties {
			if described := p.Description != "" && p.Description != "TODO" || p.Ref == "#/$defs/Args/properties/"+key; !described {
				t.Errorf("%s.%s is not described", name, key)
			}
		}
	}
}

// The schema has every code of codes.go with its arguments, in their order.
func TestTheSchemaHasEveryCode(t *testing.T) {
	defs := definitions(t)
	for name, codes := range map[string][]code{
		"Do": doCodes, "Question": questionCodes, "CannotBe": cannotBeCodes, "Footnote": footnoteCodes, "Caution": cautionCodes,
	} {
		alternatives := defs[name].OneOf
		if len(alternatives) != len(codes) {
			t.Errorf("%s has %d codes in the schema (want %d)", name, len(alternatives), len(codes))
			continue
		}
		for i, want := range codes {
			alt := alternatives[i]
			args := alt.PropertyNames.Enum // of a footnote: code, line, arguments
			if p, own := alt.Properties["args"]; own {
				args = nil
				if p.PropertyNames != nil {
					args = p.PropertyNames.Enum
				}
				for _, any := range p.AnyOf {
					if any.PropertyNames != nil {
						args = any.PropertyNames.Enum
					}
				}
			} else {
				args = args[2:]
			}
			if got := alt.Properties["code"].Const; got != want.Code || alt.Description == "" || !slices.Equal(args, want.Args) {
				t.Errorf("%s has %s %v in the schema, described %q (want %s %v)", name, got, args, alt.Description, want.Code, want.Args)
			}
		}
	}
	for _, enum := range []struct {
		def, key string
		codes    []code
	}{{"VisitMind", "code", mindCodes}, {"Mistake", "kind", mistakeKinds}, {"Check", "assumed", assumedCodes}} {
		var want []string
		for _, c := range enum.codes {
			want = append(want, c.Code)
		}
		var properties map[string]struct {
			Enum  []string
			Items struct{ Enum []string }
		}
		if err := json.Unmarshal(defs[enum.def].Properties, &properties); err != nil {
			t.Fatal(err)
		}
		listed := properties[enum.key]
		slices.Sort(want)
		if got := slices.Sorted(slices.Values(append(listed.Enum, listed.Items.Enum...))); !slices.Equal(got, want) {
			t.Errorf("%s has codes %v in the schema (want %v)", enum.def, got, want)
		}
	}
}

// Every argument of a code is a key of Args, and no code is there twice.
func TestEveryCodeHasArgumentsOfArgs(t *testing.T) {
	known := map[string]bool{}
	for _, f := range fieldsOf(reflect.TypeFor[Args]()) {
		known[f.key] = true
	}
	for _, all := range codes {
		seen := map[string]bool{}
		for _, c := range all {
			if seen[c.Code] {
				t.Errorf("%s is there twice", c.Code)
			}
			seen[c.Code] = true
			for _, arg := range c.Args {
				if !known[arg] {
					t.Errorf("%s has an argument %s that Args has not", c.Code, arg)
				}
			}
		}
	}
}

// compiled is the schema of one kind of document in a general-purpose validator.
func compiled(t *testing.T, def string) *jsonschema.Schema {
	t.Helper()
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(jsonSchema(t)))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:reconcile:schema:2", document); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("urn:reconcile:schema:2#/$defs/" + def)
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

// small is a record that the schema accepts; the tests below spoil it.
func small() *Record {
	kg, line, n := 240.5, 3, 1
	return &Record{
		Schema: recordSchema, Program: "2.0.0", Model: model, Options: options{Rule: "guarded", Paper: "a4", Unit: "kg"},
		Verdict: "within", Agreement: "agree", Do: []Do{{"drive", &Args{Number: &n}}},
		Quantities: quantities{{"download", &quantity{inKg, 240.5, 5, "weighed"}}, {"trailer_cg", nil}},
		Budgets:    budgets{{"download", []cause{{"scale", 0, "", "bridge", 5}}}},
		Checks: []Check{{
			Rating: "atm", Line: &line, LimitKg: new(string), ValueKg: &kg, UKg: &kg, MarginKg: &kg, POver: &kg, Verdict: "within", HeldOn: []string{"trailer"},
		}},
		Footnotes: []Note{{"nose_off_deck", 2, Args{Kg: &kg}}, {"no_time", 2, Args{}}},
		Questions: []question{{"with_everywhere", "tickets.csv", 2, false, &Args{Name: "driver"}}},
		Outfit:    Outfit{Travels: "plain"},
	}
}

func validate(t *testing.T, schema *jsonschema.Schema, line []byte) error {
	t.Helper()
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(line))
	if err != nil {
		t.Fatal(err)
	}
	return schema.Validate(document)
}

func TestTheSchemaAcceptsARecordAndRefusesASpoiltOne(t *testing.T) {
	schema := compiled(t, "Record")
	r := small()
	*r.Checks[0].LimitKg = "3500"
	line, err := Line(nil, r)
	if err != nil {
		t.Fatal(err)
	}
	if err := validate(t, schema, line); err != nil {
		t.Fatalf("%v\n%s", err, line)
	}
	for _, c := range []struct {
		name  string
		spoil func(r *Record)
	}{
		{"a sentence for a verdict", func(r *Record) { r.Verdict = "it may be driven" }},
		{"an unknown code", func(r *Record) { r.Do[0].Code = "hurry" }},
		{"an argument of another code", func(r *Record) { r.Do[0].Args.Ticket = "7" }},
		{"a footnote with an argument of another code", func(r *Record) { r.Footnotes[1].Typed = "7" }},
		{"a question without its form", func(r *Record) { r.Questions[0].File = "" }},
		{"a limit with a unit", func(r *Record) { *r.Checks[0].LimitKg = "3500 kg" }},
		{"a negative uncertainty", func(r *Record) { *r.Checks[0].UKg = -1 }},
		{"a quantity without basis", func(r *Record) { r.Quantities[0].Value.Basis = "" }},
		{"a sentence for a support", func(r *Record) { r.Checks[0].HeldOn[0] = "the whole trailer" }},
		{"another schema", func(r *Record) { r.Schema = "reconcile-record/1" }},
	} {
		r := small()
		*r.Checks[0].LimitKg = "3500"
		c.spoil(r)
		line, err := Line(nil, r)
		if err != nil {
			t.Fatal(err)
		}
		if validate(t, schema, line) == nil {
			t.Errorf("the schema accepts %s", c.name)
		}
	}
	if validate(t, schema, bytes.Replace(line, []byte(`"model":2,`), []byte(`"model":2,"note":"",`), 1)) == nil {
		t.Error("the schema accepts an unknown key")
	}
}
