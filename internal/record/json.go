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
	b, err := appendDocument(b, document)
	if err != nil {
		return nil, err
	}
	return append(b, '\n'), nil
}

// field is one key of a struct: its place, its name, and whether it is left out
// where it is empty. The fields of an embedded struct are among the others.
type field struct {
	written   string       // ,"key":
	room      [atOnce]byte // begins with what is written, where that is not longer
	offset    uintptr      // in the struct
	omitEmpty bool
	value     shape
	key       string
	index     []int
}

// atOnce is how many bytes are copied to write a key: to copy a fixed number of bytes
// takes less time than to look how many there are.
const atOnce = 32

// appendWritten writes the key.
func (f *field) appendWritten(b []byte) []byte {
	n := len(b)
	if len(f.written) > atOnce || cap(b)-n < atOnce {
		return append(b, f.written...)
	}
	*(*[atOnce]byte)(b[n : n+atOnce]) = f.room
	return b[:n+len(f.written)]
}

// fieldsOf lists the keys of a struct in the order of its fields; one with the
// key - is not written.
func fieldsOf(t reflect.Type) []field { return shapeOf(t).fields }

// kind is how a value is written.
type kind uint8

const (
	noKind kind = iota // JSON has no such value
	aString
	aBool
	anInt
	aNumber
	aQuantity
	anObject // a struct
	aList    // a slice
	anArray
	anObjectOfData // named values
)

var kinds = map[reflect.Kind]kind{
	reflect.String: aString, reflect.Bool: aBool, reflect.Int: anInt, reflect.Float64: aNumber,
	reflect.Struct: anObject, reflect.Slice: aList, reflect.Array: anArray,
}

// shape is what there is to know of a type to write its values. It is found out once.
type shape struct {
	kind    kind
	pointer bool    // to the value; nil is null
	fields  []field // of an object
	entry   *shape  // of a list; of data, the value
	step    uintptr // from one entry to the next
	offset  uintptr // of data, from a name to its value
	length  int     // of an array
}

var shapes sync.Map // reflect.Type → *shape

// shapeOf gives the shape of a type; no type of a document holds itself.
func shapeOf(t reflect.Type) *shape {
	if known, ok := shapes.Load(t); ok {
		return known.(*shape)
	}
	s := newShape(t)
	shapes.Store(t, s)
	return s
}

func newShape(t reflect.Type) *shape {
	switch t {
	case reflect.TypeFor[quantity]():
		return &shape{kind: aQuantity}
	case reflect.TypeFor[quantities](), reflect.TypeFor[budgets]():
		value := t.Elem().Field(1)
		return &shape{kind: anObjectOfData, entry: shapeOf(value.Type), step: t.Elem().Size(), offset: value.Offset}
	}
	if t.Kind() == reflect.Pointer {
		s := *shapeOf(t.Elem())
		s.pointer = true
		return &s
	}
	s := &shape{kind: kinds[t.Kind()]}
	switch s.kind {
	case anObject:
		s.fields = newFields(t)
	case aList, anArray:
		s.entry, s.step = shapeOf(t.Elem()), t.Elem().Size()
	}
	if s.kind == anArray {
		s.length = t.Len()
	}
	return s
}

func newFields(t reflect.Type) []field {
	var fields []field
	for _, v := range reflect.VisibleFields(t) {
		name, option, _ := strings.Cut(v.Tag.Get("json"), ",")
		if name == "" || name == "-" {
			continue
		}
		f := field{written: `,"` + name + `":`, omitEmpty: option == "omitempty", value: *shapeOf(v.Type), key: name, index: v.Index}
		copy(f.room[:], f.written)
		for depth := range v.Index {
			f.offset += t.FieldByIndex(v.Index[:depth+1]).Offset
		}
		fields = append(fields, f)
	}
	return fields
}

// appendNumber writes the shortest digits that give the number back, without
// exponent or trailing zeros; −0 is 0.
func appendNumber(b []byte, v float64) ([]byte, error) {
	if v < 0 {
		b, v = append(b, '-'), -v
	}
	if n, ok := billionths(v); ok {
		return appendBillionths(b, n), nil
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil, errNotFinite
	}
	return strconv.AppendFloat(b, v, 'f', -1, 64), nil
}

// perUnit are the steps of the finest grid that numbers of a document are rounded
// to, in one (see portable).
const perUnit = 1_000_000_000

// billionths gives n where v, not below 0, is the float64 nearest to n/1e9, and n has
// at most 15 digits: no other decimal number of so few digits is as near to v, so that
// those of n/1e9 are the shortest that give v back.
func billionths(v float64) (n uint64, ok bool) {
	scaled := float64(v * perUnit)
	if !(scaled < 1e15) {
		return 0, false
	}
	n = uint64(int64(scaled + 0.5)) // such an n is less than a quarter from scaled
	return n, float64(n)/perUnit == v
}

// pairs are the digits of 00 to 99.
const pairs = "00010203040506070809" +
	"10111213141516171819" +
	"20212223242526272829" +
	"30313233343536373839" +
	"40414243444546474849" +
	"50515253545556575859" +
	"60616263646566676869" +
	"70717273747576777879" +
	"80818283848586878889" +
	"90919293949596979899"

// appendBillionths writes n/1e9: six decimals, nine where there are more, and then no
// zeros at the end.
func appendBillionths(b []byte, n uint64) []byte {
	b = appendWhole(b, n/perUnit)
	rest := n % perUnit
	if rest == 0 {
		return b
	}
	i, j, k := rest/1e7*2, rest/1e5%100*2, rest/1e3%100*2
	b = append(b, '.', pairs[i], pairs[i+1], pairs[j], pairs[j+1], pairs[k], pairs[k+1])
	if rest %= 1e3; rest > 0 {
		k = rest % 100 * 2
		b = append(b, '0'+byte(rest/100), pairs[k], pairs[k+1])
	}
	end := len(b)
	for b[end-1] == '0' {
		end--
	}
	return b[:end]
}

// appendWhole writes a whole number; most have few digits.
func appendWhole(b []byte, n uint64) []byte {
	switch {
	case n < 10:
		return append(b, '0'+byte(n))
	case n < 100:
		return append(b, pairs[n*2], pairs[n*2+1])
	case n < 1000:
		low := n % 100 * 2
		return append(b, '0'+byte(n/100), pairs[low], pairs[low+1])
	case n < 10000:
		high, low := n/100*2, n%100*2
		return append(b, pairs[high], pairs[high+1], pairs[low], pairs[low+1])
	}
	return strconv.AppendUint(b, n, 10)
}

// appendInt writes a whole number with its sign.
func appendInt(b []byte, n int) []byte {
	if n < 0 {
		return strconv.AppendInt(b, int64(n), 10)
	}
	return appendWhole(b, uint64(n))
}

// special are the bytes of a string that are not simply written: what is escaped,
// and what is no ASCII, of which several belong together.
var special = func() (is [256]uint8) {
	for c := range is {
		if c < ' ' || c == '"' || c == '\\' || c >= utf8.RuneSelf {
			is[c] = 1
		}
	}
	return is
}()

// appendString escapes what RFC 8259 requires and nothing else: the quote, the
// backslash and the control characters.
func appendString(b []byte, s string) ([]byte, error) {
	if s == "" {
		return append(b, '"', '"'), nil
	}
	b = append(b, '"')
	found := uint8(0)
	for i := range len(s) {
		found |= special[s[i]]
	}
	if found != 0 {
		return appendSpecial(b, s)
	}
	return append(append(b, s...), '"'), nil
}

// appendSpecial writes the rest of a string that has special bytes.
func appendSpecial(b []byte, s string) ([]byte, error) {
	if !utf8.ValidString(s) {
		return nil, errNotUTF8
	}
	for i := range len(s) {
		switch c := s[i]; {
		case c < ' ':
			b = appendControl(b, c)
		case c == '"', c == '\\':
			b = append(b, '\\', c)
		default:
			b = append(b, c)
		}
	}
	return append(b, '"'), nil
}

// shortEscapes are the control characters that have an escape of one letter.
var shortEscapes = map[byte]byte{'\b': 'b', '\t': 't', '\n': 'n', '\f': 'f', '\r': 'r'}

func appendControl(b []byte, c byte) []byte {
	if short, ok := shortEscapes[c]; ok {
		return append(b, '\\', short)
	}
	return fmt.Appendf(b, `\u%04x`, c)
}

// unitKeys are the keys of a quantity in a unit.
type unitKeys struct{ unit, value, u string }

var quantityKeys = []unitKeys{
	{inKg, "value_kg", "u_kg"}, {inRatio, "value", "u"}, {inKgM, "value_kgm", "u_kgm"}, {inMm, "value_mm", "u_mm"},
}

func appendQuantity(b []byte, q *quantity) ([]byte, error) {
	for i := range quantityKeys {
		keys := &quantityKeys[i]
		if keys.unit != q.Unit {
			continue
		}
		b, err := appendNumber(appendKey(append(b, '{'), keys.value), q.Value)
		if err != nil {
			return nil, under(keys.value, err)
		}
		if b, err = appendNumber(appendKey(append(b, ','), keys.u), q.U); err != nil {
			return nil, under(keys.u, err)
		}
		if q.Unit == inKg { // only a mass has a basis
			if b, err = appendString(appendKey(append(b, ','), "basis"), q.Basis); err != nil {
				return nil, under("basis", err)
			}
		}
		return append(b, '}'), nil
	}
	return nil, fmt.Errorf("has unit %q (want one of this package)", q.Unit)
}

// appendKey writes a key of this package's own, which needs no escapes.
func appendKey(b []byte, key string) []byte {
	b = append(b, '"')
	b = append(b, key...)
	return append(b, '"', ':')
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
