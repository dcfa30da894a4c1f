package record

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// mostEntries bounds the lists and objects of a record, all their entries
// together: 200 readings with 1,000 checks and all that is said of them have
// fewer than 20,000.
const mostEntries = 100_000

// errTooLong is a record with more entries than its reader allows.
var errTooLong = errors.New("has more entries than allowed")

// Parse reads a record that Line has written: these keys in this order, these
// spellings of strings and numbers, a newline, and nothing else. What Line would
// write otherwise is refused, and the key named. All lists together
// may have most entries, or as many as those of any record where that is less
// or most is 0, so that a file cannot make this program take memory that the
// line itself does not take.
//
// Where keys are named only those are read, and nothing is said of the rest: who
// asks for them writes the record again and compares.
func Parse(line []byte, most int, keys ...string) (*Record, error) {
	if most == 0 || most > mostEntries {
		most = mostEntries
	}
	var r Record
	if len(keys) > 0 {
		p := &parser{rest: line, left: most}
		return &r, p.some(reflect.ValueOf(&r).Elem(), keys)
	}
	if parseLine(line, most, reflect.ValueOf(&r).Elem(), false) == nil {
		if again, err := Line(make([]byte, 0, len(line)), &r); err == nil && bytes.Equal(again, line) {
			return &r, nil
		}
	}
	// once more, to name the place
	err := parseLine(line, most, reflect.ValueOf(new(Record)).Elem(), true)
	if err == nil {
		err = errors.New("the record is not written as this program writes it")
	}
	return nil, err
}

// parseLine reads a line into v. Where it is spelled, what is not written as the
// writer writes it is refused at its place; else whoever calls it compares the line
// with the one that the writer makes of v.
func parseLine(line []byte, most int, v reflect.Value, spelled bool) error {
	p := &parser{rest: line, left: most, spelled: spelled}
	if err := p.value(v); err != nil {
		return err
	}
	if string(p.rest) != "\n" {
		return p.unexpected("the end of the line")
	}
	return nil
}

// parser reads what the writer writes.
type parser struct {
	rest []byte
	left int // entries of lists that may still come

	spelled bool // each number and string is compared with what the writer makes of it
}

// shownBytes is how much of what was found an error quotes.
const shownBytes = 40

func (p *parser) unexpected(wanted string) error {
	found := p.rest
	if len(found) > shownBytes {
		found = found[:shownBytes]
	}
	return fmt.Errorf("%q is not what is written there (want %s)", found, wanted)
}

// take steps over a text that has to come.
func (p *parser) take(text string) error {
	if !p.has(text) {
		return p.unexpected(text)
	}
	return nil
}

// has steps over a text if it comes.
func (p *parser) has(text string) bool {
	if len(p.rest) < len(text) || string(p.rest[:len(text)]) != text {
		return false
	}
	p.rest = p.rest[len(text):]
	return true
}

func (p *parser) value(v reflect.Value) error {
	switch x := v.Addr().Interface().(type) {
	case *quantities:
		return readNamed(p, x, p.quantity)
	case *budgets:
		return readNamed(p, x, p.causes)
	}
	switch v.Kind() {
	case reflect.Pointer:
		if p.has("null") {
			return nil
		}
		v.Set(reflect.New(v.Type().Elem()))
		return p.value(v.Elem())
	case reflect.Struct:
		return p.object(v)
	case reflect.Slice:
		return p.list(v)
	case reflect.Array:
		return p.array(v)
	}
	return p.scalar(v)
}

func (p *parser) scalar(v reflect.Value) error {
	switch v.Kind() {
	case reflect.String:
		s, err := p.text()
		v.SetString(s)
		return err
	case reflect.Bool:
		v.SetBool(p.has("true"))
		if !v.Bool() {
			return p.take("false")
		}
		return nil
	case reflect.Int:
		n, err := p.integer()
		v.SetInt(int64(n))
		return err
	}
	x, err := p.number()
	v.SetFloat(x)
	return err
}

func (p *parser) object(v reflect.Value) error {
	if err := p.take("{"); err != nil {
		return err
	}
	first := true
	for _, f := range fieldsOf(v.Type()) {
		if !p.key(f.written, first) {
			if f.omitEmpty {
				continue
			}
			return under(f.key, p.unexpected(f.written[1:]))
		}
		first = false
		x := v.FieldByIndex(f.index)
		if err := p.value(x); err != nil {
			return under(f.key, err)
		}
		if f.omitEmpty && f.value.isEmpty(x.Addr().UnsafePointer()) {
			return under(f.key, errors.New("is empty (want it left out)"))
		}
	}
	return p.take("}")
}

// some reads some keys of an object, all of which it has, and steps over those before
// and between them. What follows the last one stays unread.
func (p *parser) some(v reflect.Value, keys []string) error {
	if err := p.take("{"); err != nil {
		return err
	}
	left := len(keys)
	for i, f := range fieldsOf(v.Type()) {
		if !p.key(f.written, i == 0) {
			return under(f.key, p.unexpected(f.written[1:]))
		}
		read := p.skip
		if slices.Contains(keys, f.key) {
			read = func() error { return p.value(v.FieldByIndex(f.index)) }
			left--
		}
		if err := read(); err != nil {
			return under(f.key, err)
		}
		if left == 0 {
			break
		}
	}
	return nil
}

// structural are the bytes at which a value, or a part of it, may begin or end.
var structural = [256]bool{'"': true, '{': true, '[': true, '}': true, ']': true, ',': true}

// skip steps over a value, up to what ends it.
func (p *parser) skip() error {
	depth, rest := 0, p.rest
	for i := 0; i < len(rest); i++ {
		if !structural[rest[i]] {
			continue // as nearly all are
		}
		switch rest[i] {
		case '"':
			for i++; i < len(rest) && rest[i] != '"'; i++ {
				if rest[i] == '\\' {
					i++
				}
			}
			continue
		case '{', '[':
			depth++
			continue
		case '}', ']':
			if depth--; depth >= 0 {
				continue
			}
		case ',':
			if depth > 0 {
				continue
			}
		}
		p.rest = rest[i:]
		return nil
	}
	return p.unexpected("a value that ends")
}

// key steps over a key if it comes, and over the comma before it.
func (p *parser) key(written string, first bool) bool {
	if first {
		written = written[1:]
	}
	return p.has(written)
}

// list reads a list; it is never nil afterwards.
func (p *parser) list(v reflect.Value) error {
	v.Set(reflect.MakeSlice(v.Type(), 0, 0))
	return p.entries('[', ']', func(i int) error {
		if i == v.Cap() {
			v.Grow(1)
		}
		v.SetLen(i + 1)
		if err := p.value(v.Index(i)); err != nil {
			return under("["+strconv.Itoa(i)+"]", err)
		}
		return nil
	})
}

// entries reads what is between two brackets, with commas between.
func (p *parser) entries(open, end byte, each func(i int) error) error {
	if err := p.take(string(open)); err != nil {
		return err
	}
	for i := 0; !p.has(string(end)); i++ {
		if p.left--; p.left < 0 {
			return errTooLong
		}
		if i > 0 {
			if err := p.take(","); err != nil {
				return err
			}
		}
		if err := each(i); err != nil {
			return err
		}
	}
	return nil
}

func (p *parser) array(v reflect.Value) error {
	for i := range v.Len() {
		if err := p.take([]string{"[", ","}[min(i, 1)]); err != nil {
			return err
		}
		if err := p.value(v.Index(i)); err != nil {
			return under("["+strconv.Itoa(i)+"]", err)
		}
	}
	return p.take("]")
}

// token takes what can belong to a number.
func (p *parser) token() string {
	n := 0
	for n < len(p.rest) && strings.IndexByte("-+.eE0123456789", p.rest[n]) >= 0 {
		n++
	}
	return string(p.rest[:n])
}

func (p *parser) integer() (int, error) {
	token := p.token()
	n, err := strconv.Atoi(token)
	if err != nil || strconv.Itoa(n) != token {
		return 0, p.unexpected("a whole number")
	}
	return n, p.take(token)
}

func (p *parser) number() (float64, error) {
	token := p.token()
	x, err := strconv.ParseFloat(token, 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, p.unexpected("a number")
	}
	if p.spelled {
		if again, err := appendNumber(nil, x); err != nil || string(again) != token {
			return 0, p.unexpected("the number " + string(again))
		}
	}
	return x, p.take(token)
}

// text reads a string, and refuses one that is not written as the writer
// writes it.
func (p *parser) text() (string, error) {
	if len(p.rest) == 0 || p.rest[0] != '"' {
		return "", p.unexpected("a string")
	}
	end := 1
	for end < len(p.rest) && p.rest[end] != '"' {
		if p.rest[end] == '\\' {
			end++
		}
		end++
	}
	if end >= len(p.rest) {
		return "", p.unexpected("a string that ends")
	}
	written := p.rest[:end+1]
	s, ok := unescaped(written[1:end])
	if ok && p.spelled {
		again, err := appendString(nil, s)
		ok = err == nil && bytes.Equal(again, written)
	}
	if !ok {
		return "", p.unexpected("a string as this program writes it")
	}
	p.rest = p.rest[end+1:]
	return s, nil
}

// unescaped reads the escapes that the writer uses.
func unescaped(b []byte) (string, bool) {
	if bytes.IndexByte(b, '\\') < 0 {
		return string(b), utf8.Valid(b)
	}
	var out []byte
	for len(b) > 0 {
		if b[0] != '\\' {
			out, b = append(out, b[0]), b[1:]
			continue
		}
		c, n := escape(b)
		if n == 0 {
			return "", false
		}
		out, b = append(out, c), b[n:]
	}
	return string(out), true
}

// escape reads one escape and its length; 0 where it is none of the writer's.
func escape(b []byte) (c byte, length int) {
	if len(b) < 2 {
		return 0, 0
	}
	switch b[1] {
	case '"', '\\':
		return b[1], 2
	case 'u':
		if len(b) < 6 {
			return 0, 0
		}
		n, err := strconv.ParseUint(string(b[2:6]), 16, 8)
		if err != nil {
			return 0, 0
		}
		return byte(n), 6
	}
	for control := byte(0); control < ' '; control++ {
		if short, ok := shortEscapes[control]; ok && short == b[1] {
			return control, 2
		}
	}
	return 0, 0
}

// readNamed reads an object whose keys are data, each value as one does; no key
// may be there twice.
func readNamed[T any](p *parser, all *named[T], one func() (T, error)) error {
	*all = named[T]{}
	seen := map[string]bool{}
	return p.entries('{', '}', func(int) error {
		name, err := p.text()
		if err != nil {
			return err
		}
		if seen[name] {
			return under(name, errors.New("is there twice"))
		}
		seen[name] = true
		var value T
		if err = p.take(":"); err == nil {
			value, err = one()
		}
		if err != nil {
			return under(name, err)
		}
		*all = append(*all, entry[T]{name, value})
		return nil
	})
}

func (p *parser) quantity() (*quantity, error) {
	if p.has("null") {
		return nil, nil
	}
	if err := p.take("{"); err != nil {
		return nil, err
	}
	i := slices.IndexFunc(quantityKeys, func(keys unitKeys) bool { return p.has(string(appendKey(nil, keys.value))) })
	if i < 0 {
		return nil, p.unexpected("a value in a unit")
	}
	keys := quantityKeys[i]
	q := &quantity{Unit: keys.unit}
	var err error
	if q.Value, err = p.number(); err != nil {
		return nil, under(keys.value, err)
	}
	if err = p.take(string(appendKey([]byte(","), keys.u))); err != nil {
		return nil, under(keys.u, err)
	}
	if q.U, err = p.number(); err != nil {
		return nil, under(keys.u, err)
	}
	if q.Unit == inKg {
		if err = p.take(string(appendKey([]byte(","), "basis"))); err == nil {
			q.Basis, err = p.text()
		}
		if err != nil {
			return nil, under("basis", err)
		}
	}
	return q, p.take("}")
}

func (p *parser) causes() ([]cause, error) {
	var all []cause
	err := p.list(reflect.ValueOf(&all).Elem())
	return all, err
}
