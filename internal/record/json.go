package record

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"
)

// The writer of the program's JSON documents. encoding/json is not used: it
// writes exponents and −0, escapes for browsers, and replaces what is no UTF-8.

// errNotFinite and errNotUTF8 are what a document cannot hold.
var (
	errNotFinite = errors.New("is not a finite number")
	errNotUTF8   = errors.New("is not UTF-8")
)

// Line appends a document as one line of JSON, newline included. It fails where
// a number is not finite or a string not UTF-8, and names the key.
func Line[T Record | Plan | Visit | Estimate](b []byte, document *T) ([]byte, error) {
	b, err := appendStruct(b, reflect.ValueOf(document).Elem(), fieldsOf(reflect.TypeFor[T]()))
	if err != nil {
		return nil, err
	}
	return append(b, '\n'), nil
}

// field is one key of a struct: its place, its name, and whether it is left out
// where it is empty. The fields of an embedded struct are among the others.
type field struct {
	index     []int
	key       string
	written   string // "key":
	omitEmpty bool
	write     writer // of its value
}

var fieldsByType sync.Map // reflect.Type → []field

// fieldsOf lists the keys of a struct in the order of its fields; one with the
// key - is not written.
func fieldsOf(t reflect.Type) []field {
	if known, ok := fieldsByType.Load(t); ok {
		return known.([]field)
	}
	var fields []field
	for _, f := range reflect.VisibleFields(t) {
		name, option, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name != "" && name != "-" {
			fields = append(fields, field{f.Index, name, `"` + name + `":`, option == "omitempty", writerOf(f.Type)})
		}
	}
	fieldsByType.Store(t, fields)
	return fields
}

// writer appends a value of one type. What there is to know of the type is found
// out when its writer is made.
type writer func(b []byte, v reflect.Value) ([]byte, error)

// writerOf makes the writer of a type; no type of a document holds itself.
func writerOf(t reflect.Type) writer {
	switch t {
	case reflect.TypeFor[*quantity]():
		return func(b []byte, v reflect.Value) ([]byte, error) { return appendQuantity(b, v.Interface().(*quantity)) }
	case reflect.TypeFor[quantities](), reflect.TypeFor[budgets]():
		value := writerOf(t.Elem().Field(1).Type)
		return func(b []byte, v reflect.Value) ([]byte, error) { return appendNamed(b, v, value) }
	}
	switch t.Kind() {
	case reflect.Pointer:
		return pointerWriter(writerOf(t.Elem()))
	case reflect.Struct:
		fields := fieldsOf(t)
		return func(b []byte, v reflect.Value) ([]byte, error) { return appendStruct(b, v, fields) }
	case reflect.Slice, reflect.Array:
		entry := writerOf(t.Elem())
		return func(b []byte, v reflect.Value) ([]byte, error) { return appendList(b, v, entry) }
	case reflect.String:
		return func(b []byte, v reflect.Value) ([]byte, error) { return appendString(b, v.String()) }
	case reflect.Bool:
		return func(b []byte, v reflect.Value) ([]byte, error) { return strconv.AppendBool(b, v.Bool()), nil }
	case reflect.Int:
		return func(b []byte, v reflect.Value) ([]byte, error) { return strconv.AppendInt(b, v.Int(), 10), nil }
	case reflect.Float64:
		return func(b []byte, v reflect.Value) ([]byte, error) { return appendNumber(b, v.Float()) }
	}
	return func([]byte, reflect.Value) ([]byte, error) { return nil, fmt.Errorf("is a %s (want what JSON has)", t) }
}

// appendValue writes a value of any type of a document.
func appendValue(b []byte, v reflect.Value) ([]byte, error) { return writerOf(v.Type())(b, v) }

// pointerWriter writes what a pointer leads to; nil is null.
func pointerWriter(value writer) writer {
	return func(b []byte, v reflect.Value) ([]byte, error) {
		if v.IsNil() {
			return append(b, "null"...), nil
		}
		return value(b, v.Elem())
	}
}

func appendStruct(b []byte, v reflect.Value, fields []field) ([]byte, error) {
	b = append(b, '{')
	first := true
	for i := range fields {
		f := &fields[i]
		x := v.Field(f.index[0])
		if len(f.index) > 1 {
			x = v.FieldByIndex(f.index)
		}
		if f.omitEmpty && isEmpty(x) {
			continue
		}
		if !first {
			b = append(b, ',')
		}
		first = false
		var err error
		if b, err = f.write(append(b, f.written...), x); err != nil {
			return nil, under(f.key, err)
		}
	}
	return append(b, '}'), nil
}

// isEmpty is what omitempty leaves out: a blank string, 0, a null, an empty list.
func isEmpty(v reflect.Value) bool {
	if v.Kind() == reflect.Slice {
		return v.Len() == 0
	}
	return v.IsZero()
}

// appendKey writes a key of this package's own, which needs no escapes.
func appendKey(b []byte, key string, first bool) []byte {
	if !first {
		b = append(b, ',')
	}
	b = append(b, '"')
	b = append(b, key...)
	return append(b, '"', ':')
}

func appendList(b []byte, v reflect.Value, entry writer) ([]byte, error) {
	b = append(b, '[')
	for i := range v.Len() {
		if i > 0 {
			b = append(b, ',')
		}
		var err error
		if b, err = entry(b, v.Index(i)); err != nil {
			return nil, under("["+strconv.Itoa(i)+"]", err)
		}
	}
	return append(b, ']'), nil
}

// appendNumber writes the shortest digits that give the number back, without
// exponent or trailing zeros; −0 is 0.
func appendNumber(b []byte, v float64) ([]byte, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil, errNotFinite
	}
	if n, ok := billionths(v); ok {
		return appendBillionths(b, n), nil
	}
	return strconv.AppendFloat(b, v+0, 'f', -1, 64), nil // −0 + 0 is 0
}

// perUnit are the steps of the finest grid that numbers of a document are rounded
// to, in one (see portable).
const perUnit = 1_000_000_000

// billionths gives n where v is the float64 nearest to n/1e9, and n has at most 15
// digits: no other decimal number of so few digits is as near to v, so that those
// of n/1e9 are the shortest that give v back.
func billionths(v float64) (n int64, ok bool) {
	scaled := float64(v * perUnit)
	if math.Abs(scaled) >= 1e15 {
		return 0, false
	}
	n = int64(math.Round(scaled))
	return n, float64(n)/perUnit == v
}

// appendBillionths writes n/1e9.
func appendBillionths(b []byte, n int64) []byte {
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	b = strconv.AppendInt(b, n/perUnit, 10)
	rest := n % perUnit
	if rest == 0 {
		return b
	}
	var digits [10]byte
	digits[0] = '.'
	for i := 9; i > 0; i-- {
		digits[i] = byte('0' + rest%10)
		rest /= 10
	}
	last := 9
	for digits[last] == '0' {
		last--
	}
	return append(b, digits[:last+1]...)
}

// appendString escapes what RFC 8259 requires and nothing else: the quote, the
// backslash and the control characters.
func appendString(b []byte, s string) ([]byte, error) {
	b = append(b, '"')
	written, ascii := 0, true // of s
	for i := range len(s) {
		c := s[i]
		if c >= ' ' && c != '"' && c != '\\' {
			ascii = ascii && c < utf8.RuneSelf
			continue
		}
		b = append(b, s[written:i]...)
		written = i + 1
		if c < ' ' {
			b = appendControl(b, c)
		} else {
			b = append(b, '\\', c)
		}
	}
	if !ascii && !utf8.ValidString(s) {
		return nil, errNotUTF8
	}
	return append(append(b, s[written:]...), '"'), nil
}

// shortEscapes are the control characters that have an escape of one letter.
var shortEscapes = map[byte]byte{'\b': 'b', '\t': 't', '\n': 'n', '\f': 'f', '\r': 'r'}

func appendControl(b []byte, c byte) []byte {
	if short, ok := shortEscapes[c]; ok {
		return append(b, '\\', short)
	}
	return fmt.Appendf(b, `\u%04x`, c)
}

// The keys of a quantity, by its unit; a basis follows only in kilograms.
var quantityKeys = map[string][2]string{
	inKg: {"value_kg", "u_kg"}, inRatio: {"value", "u"}, inKgM: {"value_kgm", "u_kgm"}, inMm: {"value_mm", "u_mm"},
}

// appendNamed writes an object whose keys are data: entries of a name and a value.
func appendNamed(b []byte, v reflect.Value, value writer) ([]byte, error) {
	b = append(b, '{')
	for i := range v.Len() {
		e := v.Index(i)
		name := e.Field(0).String()
		var err error
		if b, err = appendName(b, name, i == 0); err == nil {
			b, err = value(b, e.Field(1))
		}
		if err != nil {
			return nil, under(name, err)
		}
	}
	return append(b, '}'), nil
}

// appendName writes a key that is data.
func appendName(b []byte, name string, first bool) ([]byte, error) {
	if !first {
		b = append(b, ',')
	}
	b, err := appendString(b, name)
	return append(b, ':'), err
}

func appendQuantity(b []byte, q *quantity) ([]byte, error) {
	if q == nil {
		return append(b, "null"...), nil
	}
	keys, ok := quantityKeys[q.Unit]
	if !ok {
		return nil, fmt.Errorf("has unit %q (want one of this package)", q.Unit)
	}
	b, err := appendNumber(appendKey(append(b, '{'), keys[0], true), q.Value)
	if err != nil {
		return nil, under(keys[0], err)
	}
	if b, err = appendNumber(appendKey(b, keys[1], false), q.U); err != nil {
		return nil, under(keys[1], err)
	}
	if q.Unit == inKg {
		if b, err = appendString(appendKey(b, "basis", false), q.Basis); err != nil {
			return nil, under("basis", err)
		}
	}
	return append(b, '}'), nil
}

// KeyError is what is wrong with a document, at a key.
type KeyError struct {
	Path, What string // checks[3].limit_kg: is not a finite number
	TooLong    bool   // there are more entries than its reader allows
}

// Error gives the path and what is wrong there.
func (e *KeyError) Error() string { return e.Path + ": " + e.What }

// under puts a key, or an index in brackets, before the path of an error.
func under(key string, err error) error {
	var inner *KeyError
	if errors.As(err, &inner) {
		return &KeyError{joined(key, inner.Path), inner.What, inner.TooLong}
	}
	return &KeyError{key, err.Error(), errors.Is(err, errTooLong)}
}

// joined writes a path: checks and [3] are checks[3], that and limit_kg
// checks[3].limit_kg.
func joined(path, next string) string {
	if path == "" || strings.HasPrefix(next, "[") {
		return path + next
	}
	return path + "." + next
}
