package issue

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"reconcile/internal/words"
)

// numbers are those that a register holds: of each prefix the largest, so that
// none is given twice.
type numbers struct {
	Numbered bool              // one was given: the next one follows also where issuer.csv has none
	largest  map[string]string // prefix → its digits
	last     string            // the prefix of the last line that has a number
	issued   []string          // by Append, of each prefix the last
}

// counted is a prefix and the last run of digits, with which a number ends.
var counted = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(.*?)([0-9]+)$`) })

func split(number string) (prefix, digits string, ok bool) {
	m := counted().FindStringSubmatch(number)
	if m == nil {
		return "", "", false
	}
	return m[1], m[2], true
}

// take notes a number that was given, as the register has it.
func (n *numbers) take(number string) {
	prefix, digits, ok := split(number)
	if !ok {
		return
	}
	n.last, n.Numbered = prefix, true
	n.count(prefix, digits)
}

// count keeps a number from being given again.
func (n *numbers) count(prefix, digits string) {
	if before, there := n.largest[prefix]; !there || less(before, digits) {
		n.largest[prefix] = digits
	}
}

// next is the next number after issuer.csv's next_number: of the numbers with
// its prefix the largest and one, or next_number itself, whichever is larger.
// Where next_number is blank the last line gives the prefix; "" where none does.
func (n *numbers) next(nextNumber string) string {
	prefix, digits, ok := split(nextNumber)
	stored := words.CellText(prefix)
	switch {
	case !ok && (nextNumber != "" || !n.Numbered):
		return ""
	case !ok:
		stored = n.last
		prefix, digits = words.TextOfCell(stored), n.largest[stored]
	}
	if largest, there := n.largest[stored]; there {
		if after := countUp(largest); !less(after, digits) {
			digits = pad(after, len(digits))
		}
	}
	return prefix + digits
}

// Give gives a number, once: the largest of the register's with the prefix of
// issuer.csv's next_number and one, or next_number, whichever is larger; the
// width is kept. Where next_number is blank the last line gives the prefix. It
// is "" where nothing gives one. Numbers on summaries that the register does not
// hold are not given either, now or later.
func (r *Register) Give(nextNumber string, outside []string) string {
	for _, number := range outside {
		if prefix, digits, ok := split(words.CellText(number)); ok {
			r.count(prefix, digits)
		}
	}
	number := r.next(nextNumber)
	r.take(words.CellText(number))
	return number
}

// less compares digits as numbers, of any length.
func less(a, b string) bool {
	a, b = strings.TrimLeft(a, "0"), strings.TrimLeft(b, "0")
	if len(a) != len(b) {
		return len(a) < len(b)
	}
	return a < b
}

// countUp adds one to digits.
func countUp(digits string) string {
	d := []byte(digits)
	for i := len(d) - 1; i >= 0; i-- {
		if d[i] != '9' {
			d[i]++
			return string(d)
		}
		d[i] = '0'
	}
	return "1" + string(d)
}

// pad gives digits a width, which they may exceed.
func pad(digits string, width int) string {
	digits = strings.TrimLeft(digits, "0")
	return strings.Repeat("0", max(width-len(digits), 0)) + digits
}

// issue notes the number of a line that was appended.
func (n *numbers) issue(number string) {
	if number == "" {
		return
	}
	prefix, _, _ := split(number)
	n.issued = slices.DeleteFunc(n.issued, func(other string) bool {
		p, _, _ := split(other)
		return p == prefix
	})
	n.issued = append(n.issued, number)
}

// following are the numbers after those that were issued.
func (n *numbers) following() []string {
	var all []string
	for _, number := range n.issued {
		all = append(all, after(number))
	}
	return all
}

// after is the number after another.
func after(number string) string {
	prefix, digits, ok := split(number)
	if !ok {
		return ""
	}
	return prefix + countUp(digits)
}
