package record

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// The tolerances of a comparison: masses, lengths, moments and forces, and
// what has no unit (ratios, probabilities; relative where above 1).
const (
	massTolerance  = 1e-3
	ratioTolerance = 1e-6
)

// Difference is one thing in which a record differs from the one derived anew.
type Difference struct {
	Where string // checks[3].value_kg
	Old   string
	New   string
	// Boundary: the numbers agree within the tolerances and the word changed
	// only because they lie where it changes.
	Boundary bool
}

// String says the difference in words.
func (d Difference) String() string {
	s := fmt.Sprintf("%s is %s in the record and %s when derived anew", d.Where, d.Old, d.New)
	if d.Boundary {
		s += " (at the boundary)"
	}
	return s
}

// Compare holds an old record against one derived anew: masses and u to
// 0.001 kg, ratios and p to 1e-6, words exactly.
func Compare(old, anew *Record) ([]Difference, error) {
	a, err := tree(old)
	if err != nil {
		return nil, err
	}
	b, err := tree(anew)
	if err != nil {
		return nil, err
	}
	c := &comparison{edge: atEdge(old) || atEdge(anew)}
	c.values("", "", a, b)
	return c.found, nil
}

func tree(r *Record) (any, error) {
	line, err := r.Line()
	if err != nil {
		return nil, err
	}
	var v any
	return v, json.Unmarshal(line, &v)
}

type comparison struct {
	edge  bool // some check lies at the boundary of its verdict
	found []Difference
}

func (c *comparison) differ(where string, a, b any, boundary bool) {
	c.found = append(c.found, Difference{where, text(a), text(b), boundary})
}

func text(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		return fmt.Sprint(v)
	}
	return string(b)
}

func (c *comparison) values(where, key string, a, b any) {
	switch x := a.(type) {
	case map[string]any:
		if y, ok := b.(map[string]any); ok {
			c.objects(where, x, y)
			return
		}
	case []any:
		if y, ok := b.([]any); ok && len(x) == len(y) {
			for i := range x {
				c.values(fmt.Sprintf("%s[%d]", where, i), key, x[i], y[i])
			}
			return
		}
	case float64:
		if y, ok := b.(float64); ok && closeEnough(key, x, y) {
			return
		}
	case string:
		if y, ok := b.(string); ok {
			if x != y {
				c.differ(where, a, b, c.edge || onlyLastDigits(x, y))
			}
			return
		}
	default:
		if a == b {
			return
		}
	}
	c.differ(where, a, b, false)
}

func (c *comparison) objects(where string, a, b map[string]any) {
	var keys []string
	for k := range a {
		keys = append(keys, k)
	}
	for k := range b {
		if _, ok := a[k]; !ok {
			keys = append(keys, k)
		}
	}
	slices.Sort(keys)
	for _, k := range keys {
		path := strings.TrimPrefix(where+"."+k, ".")
		x, inA := a[k]
		y, inB := b[k]
		if inA != inB {
			c.differ(path, x, y, false)
			continue
		}
		c.values(path, k, x, y)
	}
}

// closeEnough compares two numbers under the tolerance of their key's unit.
func closeEnough(key string, a, b float64) bool {
	for _, unit := range []string{"_kg", "_mm", "_kgm", "_kn", "kg"} {
		if strings.HasSuffix(key, unit) {
			return math.Abs(a-b) <= massTolerance
		}
	}
	return math.Abs(a-b) <= ratioTolerance*math.Max(1, math.Abs(a))
}

// atEdge says whether a check's value lies so near to where its verdict
// changes that the tolerance decides.
func atEdge(r *Record) bool {
	for _, c := range r.Checks {
		if c.ValueKg == nil || c.UKg == nil || c.LimitKg == nil {
			continue
		}
		limit, err := strconv.ParseFloat(*c.LimitKg, 64)
		if err != nil {
			continue
		}
		for _, edge := range []float64{limit, limit - 2**c.UKg, limit + 2**c.UKg} {
			if math.Abs(*c.ValueKg-edge) <= 3*massTolerance {
				return true
			}
		}
	}
	return false
}

// onlyLastDigits says whether two sentences differ in nothing but numbers, and
// each of those by one in its last place: a figure rounded the other way.
func onlyLastDigits(a, b string) bool {
	x, y := numbersIn(a), numbersIn(b)
	if len(x) == 0 || len(x) != len(y) || masked(a) != masked(b) {
		return false
	}
	for i := range x {
		if d := x[i] - y[i]; d < -1 || d > 1 {
			return false
		}
	}
	return true
}

func masked(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return unicode.IsDigit(r) || r == ',' }), "#")
}

func numbersIn(s string) []int {
	var all []int
	for _, f := range strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsDigit(r) && r != ',' }) {
		if n, err := strconv.Atoi(strings.ReplaceAll(f, ",", "")); err == nil {
			all = append(all, n)
		}
	}
	return all
}
