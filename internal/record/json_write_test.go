package record

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

// The writer, which finds values by their place in memory, against a plain walk by
// package reflect, over random documents of every kind: the same bytes, and of what
// cannot be written the same error. The race detector also checks each pointer.
func TestTheWriterAgreesWithAPlainWalk(t *testing.T) {
	wrong := 0
	for seed := range uint64(300) {
		g := generator{rand.New(rand.NewPCG(seed, 42))}
		wrong += comparePlain[Record](t, g) + comparePlain[Plan](t, g) + comparePlain[Visit](t, g) + comparePlain[Estimate](t, g)
	}
	if wrong < 100 || wrong > 1000 {
		t.Errorf("%d of 1,200 documents cannot be written (want some, and some that can)", wrong)
	}
}

// A document type whose field would be left out by a rule that it does not have is not
// written at all, whatever it holds.
func TestOnlyWhatCanBeEmptyIsLeftOut(t *testing.T) {
	for _, v := range []any{
		struct {
			B bool `json:"b,omitempty"`
		}{true},
		struct {
			V float64 `json:"v,omitempty"`
		}{1},
		struct {
			Q quantity `json:"q,omitempty"`
		}{quantity{Unit: inKg}},
		struct {
			Q quantities `json:"q,omitempty"`
		}{},
		struct {
			K checkKey `json:"k,omitempty"`
		}{},
		struct {
			N [2]int `json:"n,omitempty"`
		}{},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%T was written", v)
				}
			}()
			appendValue(nil, reflect.ValueOf(v))
		}()
	}
	kg := 0.0
	b, err := appendValue(nil, reflect.ValueOf(Args{Kg: &kg, Lines: []int{}, Names: []string{""}}))
	if want := `{"kg":0,"names":[""]}`; string(b) != want || err != nil {
		t.Errorf("%s, %v (want %s)", b, err, want)
	}
}

// comparePlain compares the line of a random document, and is 1 where it has none.
func comparePlain[T Record | Plan | Visit | Estimate](t *testing.T, g generator) int {
	t.Helper()
	var document T
	g.fill(reflect.ValueOf(&document).Elem())
	p := plain{}
	p.value("", reflect.ValueOf(document))
	want := p.b.String() + "\n"
	got, err := Line(nil, &document)
	if p.wrong != "" {
		if err == nil || err.Error() != p.wrong {
			t.Fatalf("%T: %v (want %s)", document, err, p.wrong)
		}
		return 1
	}
	if err != nil || string(got) != want {
		t.Fatalf("%T is written\n%s(%v), want\n%s", document, got, err, want)
	}
	return 0
}

// generator fills documents with random values, many of them empty.
type generator struct{ *rand.Rand }

var (
	someStrings = []string{"", "", "front", "a \"b\" \\ c", "\x01\t\n", "größer", "2026-03-14 06:01", "Copper Lane grain depot"}
	someNumbers = []float64{0, math.Copysign(0, -1), 1398.512873, -0.184741226, 0.000000001, -1e22, 1.0 / 3, 12.5}
)

func (g generator) fill(v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(someStrings[g.IntN(len(someStrings))])
		if g.IntN(500) == 0 {
			v.SetString("\xff")
		}
		if v.Type() == reflect.TypeFor[string]() && g.IntN(10) == 0 {
			v.SetString(strconv.Itoa(g.Int()))
		}
	case reflect.Bool:
		v.SetBool(g.IntN(2) == 0)
	case reflect.Int:
		v.SetInt(int64(g.IntN(5)-1) * int64(1+g.IntN(9999)))
	case reflect.Float64:
		v.SetFloat(someNumbers[g.IntN(len(someNumbers))])
		if g.IntN(500) == 0 {
			v.SetFloat(math.NaN())
		}
	case reflect.Pointer:
		if g.IntN(3) > 0 {
			v.Set(reflect.New(v.Type().Elem()))
			g.fill(v.Elem())
		}
	case reflect.Slice:
		if n := g.IntN(4); n > 0 { // else nil
			v.Set(reflect.MakeSlice(v.Type(), n-1, n))
		}
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			g.fill(v.Index(i))
		}
	case reflect.Struct:
		g.fillStruct(v)
	}
}

func (g generator) fillStruct(v reflect.Value) {
	for i := range v.NumField() {
		if v.Type().Field(i).Tag.Get("json") != "-" {
			g.fill(v.Field(i))
		}
	}
	if q, ok := v.Addr().Interface().(*quantity); ok {
		q.Unit = quantityKeys[g.IntN(len(quantityKeys))].unit
	}
}

// plain is a document as it is written, or what is wrong at the first key that cannot be.
type plain struct {
	b     strings.Builder
	wrong string
}

func (p *plain) fail(path, what string) {
	if p.wrong == "" {
		p.wrong = path + ": " + what
	}
}

func (p *plain) value(path string, v reflect.Value) {
	switch x := v.Interface().(type) {
	case quantity:
		p.quantity(path, x)
		return
	case quantities, budgets:
		p.list("{}", v, func(e reflect.Value, _ int) {
			p.string(joined(path, e.Field(0).String()), e.Field(0).String())
			p.b.WriteByte(':')
			p.value(joined(path, e.Field(0).String()), e.Field(1))
		})
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			p.b.WriteString("null")
		} else {
			p.value(path, v.Elem())
		}
	case reflect.Struct:
		p.b.WriteByte('{')
		p.fields(path, v, new(int))
		p.b.WriteByte('}')
	case reflect.Slice, reflect.Array:
		p.list("[]", v, func(e reflect.Value, i int) { p.value(fmt.Sprintf("%s[%d]", path, i), e) })
	case reflect.String:
		p.string(path, v.String())
	case reflect.Float64:
		p.number(path, v.Float())
	default:
		fmt.Fprint(&p.b, v)
	}
}

func (p *plain) list(brackets string, v reflect.Value, one func(e reflect.Value, i int)) {
	p.b.WriteByte(brackets[0])
	for i := range v.Len() {
		if i > 0 {
			p.b.WriteByte(',')
		}
		one(v.Index(i), i)
	}
	p.b.WriteByte(brackets[1])
}

// fields writes those of a struct, of which some may be written already.
func (p *plain) fields(path string, v reflect.Value, written *int) {
	for i := range v.NumField() {
		f, x := v.Type().Field(i), v.Field(i)
		tag := strings.Split(f.Tag.Get("json"), ",")
		empty := x.IsZero() || x.Kind() == reflect.Slice && x.Len() == 0
		switch {
		case tag[0] == "-":
		case f.Anonymous:
			p.fields(path, x, written)
		case !(empty && slices.Contains(tag, "omitempty")):
			if *written++; *written > 1 {
				p.b.WriteByte(',')
			}
			fmt.Fprintf(&p.b, "%q:", tag[0])
			p.value(joined(path, tag[0]), x)
		}
	}
}

func (p *plain) quantity(path string, q quantity) {
	unit := map[string]string{inKg: "_kg", inRatio: "", inKgM: "_kgm", inMm: "_mm"}[q.Unit]
	p.b.WriteString(`{"value` + unit + `":`)
	p.number(joined(path, "value"+unit), q.Value)
	p.b.WriteString(`,"u` + unit + `":`)
	p.number(joined(path, "u"+unit), q.U)
	if q.Unit == inKg {
		p.b.WriteString(`,"basis":`)
		p.string(joined(path, "basis"), q.Basis)
	}
	p.b.WriteByte('}')
}

func (p *plain) number(path string, v float64) {
	if math.IsNaN(v) {
		p.fail(path, "is not a finite number")
	}
	p.b.WriteString(strconv.FormatFloat(v+0, 'f', -1, 64))
}

func (p *plain) string(path, s string) {
	if !utf8.ValidString(s) {
		p.fail(path, "is not UTF-8")
	}
	p.b.WriteString(`"` + strings.NewReplacer(`"`, `\"`, `\`, `\\`, "\x01", `\u0001`, "\t", `\t`, "\n", `\n`).Replace(s) + `"`)
}

// BenchmarkLine writes the record of the planetarium.
func BenchmarkLine(b *testing.B) {
	line, err := os.ReadFile("../../testdata/tickets/planetarium/expected.json")
	if err != nil {
		b.Fatal(err)
	}
	r, err := Parse(line, 0)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if line, err = Line(line[:0], r); err != nil {
			b.Fatal(err)
		}
	}
}
