package record

import (
	"errors"
	"reflect"
	"strconv"
	"unsafe"
)

// The values of a document are found by their place in memory. Package reflect asks
// about the type of each value, again for every record, which takes longer than writing
// its digits. This is sound:
//   - The shape by which a value is read is made of that value's own type; there is no
//     other way in than appendDocument, appendValue and, of a field that was read into,
//     isEmpty.
//   - A place is only read as the type that is there. The header of a list is read as
//     that of another list: all are alike.
//   - A field is at the offset that package reflect gives. Entry i of a list is i times
//     the size of an entry from the first, and i is below the length.
//   - Nothing is changed, no pointer is kept, none is made into a number.

// errNoJSON is a value of a type that no document has.
var errNoJSON = errors.New("is of a type that JSON does not have")

// appendDocument writes a document.
func appendDocument[T any](b []byte, document *T) ([]byte, error) {
	return shapeOf(reflect.TypeFor[T]()).append(b, unsafe.Pointer(document))
}

// appendValue writes a value of any type of a document.
func appendValue(b []byte, v reflect.Value) ([]byte, error) {
	place := reflect.New(v.Type())
	place.Elem().Set(v)
	return shapeOf(v.Type()).append(b, place.UnsafePointer())
}

// append writes the value that is at a place.
func (s *shape) append(b []byte, at unsafe.Pointer) ([]byte, error) {
	if s.pointer {
		if at = *(*unsafe.Pointer)(at); at == nil {
			return append(b, "null"...), nil
		}
	}
	switch s.kind {
	case aString:
		return appendString(b, *(*string)(at))
	case aNumber:
		return appendNumber(b, *(*float64)(at))
	case anInt:
		return appendInt(b, *(*int)(at)), nil
	case aBool:
		return strconv.AppendBool(b, *(*bool)(at)), nil
	case aQuantity:
		return appendQuantity(b, (*quantity)(at))
	case anObject:
		return s.appendObject(b, at)
	case aList:
		list := *(*[]struct{})(at)
		return s.appendList(b, unsafe.Pointer(unsafe.SliceData(list)), len(list))
	case anArray:
		return s.appendList(b, at, s.length)
	case anObjectOfData:
		list := *(*[]struct{})(at)
		return s.appendData(b, unsafe.Pointer(unsafe.SliceData(list)), len(list))
	}
	return nil, errNoJSON
}

// isEmpty is what omitempty leaves out: a blank string, a whole number that is 0, a null,
// an empty list. No other field may have it, and to write or read one panics.
func (s *shape) isEmpty(at unsafe.Pointer) bool {
	switch {
	case s.pointer:
		return *(*unsafe.Pointer)(at) == nil
	case s.kind == aString:
		return *(*string)(at) == ""
	case s.kind == aList:
		return len(*(*[]struct{})(at)) == 0
	case s.kind == anInt:
		return *(*int)(at) == 0
	}
	panic("record: omitempty of a field that is never left out")
}

// appendObject writes a comma before each key, and then the brace over the first.
func (s *shape) appendObject(b []byte, at unsafe.Pointer) ([]byte, error) {
	start := len(b)
	for i := range s.fields {
		f := &s.fields[i]
		v := unsafe.Add(at, f.offset)
		if f.omitEmpty && f.value.isEmpty(v) {
			continue
		}
		b = f.appendWritten(b)
		pointer := v
		if f.value.pointer {
			if v = *(*unsafe.Pointer)(v); v == nil {
				b = append(b, "null"...)
				continue
			}
		}
		var err error
		switch f.value.kind { // the commonest kinds without a call
		case aString:
			b, err = appendString(b, *(*string)(v))
		case aNumber:
			b, err = appendNumber(b, *(*float64)(v))
		case anInt:
			b = appendInt(b, *(*int)(v))
		case aBool:
			b = strconv.AppendBool(b, *(*bool)(v))
		default:
			b, err = f.value.append(b, pointer)
		}
		if err != nil {
			return nil, under(f.key, err)
		}
	}
	if len(b) == start {
		return append(b, "{}"...), nil
	}
	b[start] = '{'
	return append(b, '}'), nil
}

// appendList writes n entries, the first at a place.
func (s *shape) appendList(b []byte, first unsafe.Pointer, n int) ([]byte, error) {
	b = append(b, '[')
	for i := range n {
		if i > 0 {
			b = append(b, ',')
		}
		var err error
		if b, err = s.entry.append(b, unsafe.Add(first, uintptr(i)*s.step)); err != nil {
			return nil, under("["+strconv.Itoa(i)+"]", err)
		}
	}
	return append(b, ']'), nil
}

// appendData writes an object whose keys are data: n entries of a name and a value.
func (s *shape) appendData(b []byte, first unsafe.Pointer, n int) ([]byte, error) {
	b = append(b, '{')
	for i := range n {
		if i > 0 {
			b = append(b, ',')
		}
		at := unsafe.Add(first, uintptr(i)*s.step)
		name := *(*string)(at)
		var err error
		if b, err = appendString(b, name); err == nil {
			b, err = s.entry.append(append(b, ':'), unsafe.Add(at, s.offset))
		}
		if err != nil {
			return nil, under(name, err)
		}
	}
	return append(b, '}'), nil
}
