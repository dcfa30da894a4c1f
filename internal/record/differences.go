package record

import (
	"reflect"
	"strconv"
)

// difference is one key in which two records differ: its path, like
// checks[3].limit_kg, and what each has there, in JSON. What one of them lacks
// is blank.
type difference struct {
	Path     string
	Old, New string
}

// Differences names each key in which two records differ, in the order of the
// keys; none where they are written alike. There is no tolerance. Of lists of
// different lengths each entry that only one has is named.
func Differences(a, b *Record) []difference {
	var c comparison
	c.values("", reflect.ValueOf(a).Elem(), reflect.ValueOf(b).Elem())
	return c.found
}

type comparison struct{ found []difference }

func (c *comparison) values(path string, a, b reflect.Value) {
	switch x := a.Interface().(type) {
	case quantities:
		c.quantities(path, x, b.Interface().(quantities))
		return
	case budgets:
		c.budgets(path, x, b.Interface().(budgets))
		return
	}
	switch {
	case a.Kind() == reflect.Struct:
		for _, f := range fieldsOf(a.Type()) {
			c.values(joined(path, f.key), a.FieldByIndex(f.index), b.FieldByIndex(f.index))
		}
	case a.Kind() == reflect.Pointer && a.Type().Elem().Kind() == reflect.Struct && !a.IsNil() && !b.IsNil():
		c.values(path, a.Elem(), b.Elem())
	case a.Kind() == reflect.Slice:
		c.lists(path, a, b)
	default:
		c.texts(path, text(a), text(b))
	}
}

func (c *comparison) texts(path, a, b string) {
	if a != b {
		c.found = append(c.found, difference{path, a, b})
	}
}

func (c *comparison) lists(path string, a, b reflect.Value) {
	for i := range max(a.Len(), b.Len()) {
		at := joined(path, "["+strconv.Itoa(i)+"]")
		switch {
		case i >= a.Len():
			c.texts(at, "", text(b.Index(i)))
		case i >= b.Len():
			c.texts(at, text(a.Index(i)), "")
		default:
			c.values(at, a.Index(i), b.Index(i))
		}
	}
}

// text is a value in JSON, or the reason why it cannot be written.
func text(v reflect.Value) string {
	b, err := appendValue(nil, v)
	if err != nil {
		return err.Error()
	}
	return string(b)
}

// quantities compares by name; the names in the order of the one, then those
// that only the other has. Where all names are the same but in another
// order, the entire object differs.
func (c *comparison) quantities(path string, a, b quantities) {
	before := len(c.found)
	other := map[string]*quantity{}
	for _, q := range b {
		other[q.Name] = q.Value
	}
	mine := map[string]bool{}
	for _, q := range a {
		mine[q.Name] = true
		x, has := other[q.Name]
		c.texts(joined(path, q.Name), quantityText(q.Value, true), quantityText(x, has))
	}
	for _, q := range b {
		if !mine[q.Name] {
			c.texts(joined(path, q.Name), "", quantityText(q.Value, true))
		}
	}
	if len(c.found) == before {
		c.texts(path, text(reflect.ValueOf(a)), text(reflect.ValueOf(b)))
	}
}

func quantityText(q *quantity, has bool) string {
	if !has {
		return ""
	}
	return text(reflect.ValueOf(q))
}

func (c *comparison) budgets(path string, a, b budgets) {
	before := len(c.found)
	mine := map[string]bool{}
	for _, x := range a {
		mine[x.Name] = true
		c.lists(joined(path, x.Name), reflect.ValueOf(x.Value), reflect.ValueOf(b.Get(x.Name)))
	}
	for _, x := range b {
		if !mine[x.Name] {
			c.lists(joined(path, x.Name), reflect.ValueOf([]cause(nil)), reflect.ValueOf(x.Value))
		}
	}
	if len(c.found) == before {
		c.texts(path, text(reflect.ValueOf(a)), text(reflect.ValueOf(b)))
	}
}
