package record

import (
	"bytes"
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

// buffers are what documents are written into; each is then copied, in the size
// that it has.
var buffers = sync.Pool{New: func() any { b := make([]byte, 0, 1<<15); return &b }}

// Line gives a document as one line of JSON, newline included. It fails where
// a number is not finite or a string not UTF-8, and names the key.
func Line[T Record | Plan | Visit | Estimate](document *T) ([]byte, error) {
	buffer := buffers.Get().(*[]byte)
	defer buffers.Put(buffer)
	b, err := appendValue((*buffer)[:0], reflect.ValueOf(document).Elem())
	if err != nil {
		return nil, err
	}
	*buffer = append(b, '\n')
	return bytes.Clone(*buffer), nil
}

// field is one key of a struct: its place, its name, and whether it is left out
// where it is empty. The fields of an embedded struct are among the others.
type field struct {
	index     []int
	key       string
	written   string // "key":
	omitEmpty bool
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
			fields = append(fields, field{f.Index, name, `"` + name + `":`, option == "omitempty"})
		}
	}
	fieldsByType.Store(t, fields)
	return fields
}

func appendValue(b []byte, v reflect.Value) ([]byte, error) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return append(b, "null"...), nil
		}
		return appendValue(b, v.Elem())
	case reflect.Struct:
		return appendStruct(b, v)
	case reflect.Slice, reflect.Array:
		switch v.Type() {
		case reflect.TypeFor[quantities]():
			return appendNamed(b, v.Interface().(quantities), appendQuantity)
		case reflect.TypeFor[budgets]():
			return appendNamed(b, v.Interface().(budgets), appendCauses)
		}
		return appendList(b, v)
	case reflect.String:
		return appendString(b, v.String())
	case reflect.Bool:
		return strconv.AppendBool(b, v.Bool()), nil
	case reflect.Int:
		return strconv.AppendInt(b, v.Int(), 10), nil
	case reflect.Float64:
		return appendNumber(b, v.Float())
	}
	return nil, fmt.Errorf("is a %s (want what JSON has)", v.Type())
}

func appendStruct(b []byte, v reflect.Value) ([]byte, error) {
	b = append(b, '{')
	first := true
	for _, f := range fieldsOf(v.Type()) {
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
		if b, err = appendValue(append(b, f.written...), x); err != nil {
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

func appendList(b []byte, v reflect.Value) ([]byte, error) {
	b = append(b, '[')
	for i := range v.Len() {
		if i > 0 {
			b = append(b, ',')
		}
		var err error
		if b, err = appendValue(b, v.Index(i)); err != nil {
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
	return strconv.AppendFloat(b, v+0, 'f', -1, 64), nil // −0 + 0 is 0
}

// appendString escapes what RFC 8259 requires and nothing else: the quote, the
// backslash and the control characters.
func appendString(b []byte, s string) ([]byte, error) {
	if !utf8.ValidString(s) {
		return nil, errNotUTF8
	}
	b = append(b, '"')
	written := 0 // of s
	for i := range len(s) {
		c := s[i]
		if c >= ' ' && c != '"' && c != '\\' {
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

// appendNamed writes an object whose keys are data, each value as one does.
func appendNamed[T any](b []byte, all named[T], one func([]byte, T) ([]byte, error)) ([]byte, error) {
	b = append(b, '{')
	for i := range all {
		var err error
		if b, err = appendName(b, all[i].Name, i == 0); err == nil {
			b, err = one(b, all[i].Value)
		}
		if err != nil {
			return nil, under(all[i].Name, err)
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

func appendCauses(b []byte, causes []cause) ([]byte, error) {
	return appendList(b, reflect.ValueOf(causes))
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
