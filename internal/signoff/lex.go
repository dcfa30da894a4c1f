package signoff

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"strconv"
	"sync"
)

// maxDepth bounds how deep arrays and dictionaries nest.
const maxDepth = 32

// maxInt bounds the integers read as offsets, counts and object numbers.
const maxInt = 1 << 31

// maxValues bounds how many objects are read from one file, or one page: an
// object takes a hundred bytes of memory, and may take two in a file. The
// longest summary that the tests draw has some 20,000.
const maxValues = 1 << 19

// Bounds on one string, in bytes, and on one name, number or keyword: names
// have at most 127 bytes (ISO 32000-1, annex C), and no string of this program
// is longer than a signature.
const (
	maxString = 1 << 20
	maxWord   = 1 << 10
)

var (
	errEnd        = damaged(cutShort)
	errLongString = damaged(tooMuch, "what", "string")
)

// lexer reads objects from b, onwards from at.
type lexer struct {
	b      []byte
	at     int
	values int      // objects read
	kept   []any    // items of the arrays that are being read
	pairs  []entry  // of the dictionaries
	room   []entry  // for dictionaries: asked for one by one they would take longer
	made   int      // how many entries the room had
	keys   [][]byte // of the dictionaries that are being passed
	strict bool     // no comment, and one spelling of names: as this program writes
}

// usual are values that a summary has many of, made once.
type usual struct {
	numbers [1024]any      // lengths, widths, pieces of a page's content
	refs    [512]any       // to the first objects
	names   map[string]any // as they are spelled
}

var usualValues = sync.OnceValue(func() *usual {
	u := &usual{names: map[string]any{}}
	for n := range u.numbers {
		u.numbers[n] = number(strconv.Itoa(n))
	}
	for n := range u.refs {
		u.refs[n] = ref{num: n}
	}
	for _, n := range []string{"S", "P", "Pg", "K", "C", "O", "Type", "Length", "Filter", "FlateDecode", "Parent", "Next", "Prev", "Title", "Dest", "XYZ",
		"H1", "H2", "H3", "L", "LI", "Lbl", "LBody", "Table", "TR", "TD", "TH", "Span", "Figure", "column",
		"Subtype", "F", "UF", "EF", "Resources", "ModDate", "Page", "StructParents", "Contents", "EmbeddedFile", "Params", "Size", "Filespec", "AFRelationship", "Source",
		"text/csv", "application/json", "Data", "Catalog", "Pages", "Lang", "Metadata", "ViewerPreferences", "DisplayDocTitle", "MarkInfo", "Marked", "StructTreeRoot",
		"Outlines", "OutputIntents", "OutputIntent", "GTS_PDFA1", "OutputConditionIdentifier", "DestOutputProfile", "Names", "EmbeddedFiles", "AF", "Root", "Info", "ID"} {
		u.names[string(spelled(name(n)))] = name(n)
	}
	return u
})

func white(c byte) bool {
	return c == ' ' || c == '\n' || c == '\r' || c == '\t' || c == '\f' || c == 0
}

func regular(c byte) bool { return regulars[c] }

// regulars are the bytes that neither are white space nor delimit.
var regulars = func() (is [256]bool) {
	for c := range is {
		is[c] = !white(byte(c)) && bytes.IndexByte([]byte("()<>[]{}/%"), byte(c)) < 0
	}
	return is
}()

// skip passes white space and comments; where strict, it stops at a comment.
func (l *lexer) skip() {
	if l.at < len(l.b) && l.b[l.at] <= '%' { // mostly there is neither, and all of it is below
		l.skipSome()
	}
}

func (l *lexer) skipSome() {
	for ; l.at < len(l.b); l.at++ {
		if l.b[l.at] == '%' && !l.strict {
			for l.at < len(l.b) && l.b[l.at] != '\n' && l.b[l.at] != '\r' {
				l.at++
			}
			l.at--
		} else if !white(l.b[l.at]) {
			return
		}
	}
}

// take passes s and reports whether it was there.
func (l *lexer) take(s string) bool {
	from := min(l.at, len(l.b))
	if len(l.b)-from < len(s) || string(l.b[from:from+len(s)]) != s {
		return false
	}
	l.at = from + len(s)
	return true
}

// takeNumbered is take of a text that begins with a number in at least so many
// digits.
func (l *lexer) takeNumbered(n, digits int, s string) bool {
	var room [32]byte
	first := len(room)
	for ; n > 0 || first > len(room)-digits; n /= 10 {
		first--
		room[first] = byte('0' + n%10)
	}
	from := l.at
	if l.take(string(room[first:])) && l.take(s) {
		return true
	}
	l.at = from
	return false
}

// word passes and returns the regular characters that follow, at most maxWord:
// what is left of a longer one is then no object that may be there.
func (l *lexer) word() string { return string(l.letters()) }

// letters are those of word, where they are in the file.
func (l *lexer) letters() []byte {
	if l.at >= len(l.b) {
		return nil
	}
	rest := l.b[l.at:min(l.at+maxWord, len(l.b))]
	n := 0
	for n < len(rest) && regulars[rest[n]] {
		n++
	}
	l.at += n
	return rest[:n]
}

// integer reads a non-negative integer below maxInt.
func (l *lexer) integer() (int, error) {
	l.skip()
	return integer(l.word())
}

// integer is the value of s in plain digits, below maxInt.
func integer(s string) (int, error) {
	n, ok := whole([]byte(s))
	if !ok {
		return 0, fmt.Errorf("%.20q is not a whole number below %d", s, maxInt)
	}
	return n, nil
}

// whole is integer, false where it fails: an error would take longer than all else.
func whole(w []byte) (n int, ok bool) {
	for _, c := range w {
		if c < '0' || c > '9' {
			return 0, false
		}
		if n = 10*n + int(c-'0'); n >= maxInt {
			return 0, false
		}
	}
	return n, len(w) > 0
}

// object reads one object; a reference is recognised by looking ahead.
func (l *lexer) object(depth int) (any, error) {
	l.skip()
	l.values++
	switch {
	case l.values > maxValues:
		return nil, damaged(tooManyValues, "most", maxValues)
	case depth > maxDepth:
		return nil, damaged(nestedDeep, "most", maxDepth)
	case l.at >= len(l.b):
		return nil, errEnd
	case l.take("<<"):
		return l.dict(depth)
	case l.take("<"):
		return l.hex()
	case l.take("("):
		return l.literal()
	case l.take("["):
		return l.array(depth)
	case l.take("/"):
		return l.name()
	}
	return l.scalar()
}

// scalar reads a number, a reference or a keyword.
func (l *lexer) scalar() (any, error) {
	w := l.letters()
	switch {
	case len(w) == 0 && l.b[l.at] == '%':
		return nil, damaged(comment, "at", l.at)
	case len(w) == 0:
		return nil, damaged(noObject, "at", l.at)
	case string(w) == "null":
		return nil, nil
	case !numeric(w):
		return keyword(w), nil
	}
	num, ok := whole(w)
	if !ok {
		return number(w), nil
	}
	u := usualValues()
	gen, refers := l.reference()
	switch {
	case refers && gen == 0 && num < len(u.refs):
		return u.refs[num], nil
	case refers:
		return ref{num, gen}, nil
	case num < len(u.numbers) && len(w) == digits(max(num, 1)):
		return u.numbers[num], nil
	}
	return number(w), nil
}

// reference reads the rest of `num gen R`, or nothing.
func (l *lexer) reference() (gen int, ok bool) {
	const usual = " 0 R" // all of ours
	if rest := l.b[l.at:]; len(rest) > len(usual) && string(rest[:len(usual)]) == usual && !regulars[rest[len(usual)]] {
		l.at += len(usual)
		return 0, true
	}
	from := l.at
	l.skip()
	if gen, ok := whole(l.letters()); ok {
		l.skip()
		if string(l.letters()) == "R" {
			return gen, true
		}
	}
	l.at = from
	return 0, false
}

// numeric reports whether w is a PDF number: a sign, digits, one point.
func numeric(w []byte) bool {
	digits, points := 0, 0
	for i := range len(w) {
		switch c := w[i]; {
		case c >= '0' && c <= '9':
			digits++
		case c == '.':
			points++
		case i > 0 || c != '-' && c != '+':
			return false
		}
	}
	return digits > 0 && points <= 1
}

func (l *lexer) array(depth int) (any, error) {
	from := len(l.kept)
	for {
		l.skip()
		if l.take("]") {
			out := append(array{}, l.kept[from:]...)
			l.kept = l.kept[:from]
			return out, nil
		}
		v, err := l.object(depth + 1)
		if err != nil {
			return nil, err
		}
		l.kept = append(l.kept, v)
	}
}

func (l *lexer) dict(depth int) (any, error) {
	from := len(l.pairs)
	var seen map[name]bool // of a long one
	for {
		l.skip()
		out := dict(l.pairs[from:])
		if l.take(">>") {
			l.pairs = l.pairs[:from]
			return l.keep(out), nil
		}
		k, err := l.object(depth + 1)
		if err != nil {
			return nil, err
		}
		key, ok := k.(name)
		if !ok {
			return nil, damaged(noObject, "at", l.at)
		}
		if len(out) == manyKeys {
			seen = make(map[name]bool, 2*manyKeys)
			for _, e := range out {
				seen[e.key] = true
			}
		}
		if seen[key] || seen == nil && out.has(key) { // readers differ over which they take
			return nil, damaged(keyRepeated, "key", clipped(string(key)))
		}
		if seen != nil {
			seen[key] = true
		}
		v, err := l.object(depth + 1)
		if err != nil {
			return nil, err
		}
		l.pairs = append(l.pairs, entry{key, v})
	}
}

// keep copies what a dictionary has from where the next one is read. Room for
// entries is asked for twice as much each time: most lexers read few.
func (l *lexer) keep(pairs dict) dict {
	const most = 256
	if l.room == nil || len(l.room) < len(pairs) {
		l.made = max(len(pairs), min(2*l.made, most))
		l.room = make([]entry, l.made)
	}
	kept := dict(l.room[:len(pairs):len(pairs)])
	l.room = l.room[len(pairs):]
	copy(kept, pairs)
	return kept
}

// manyKeys is how many keys of a dictionary are compared one by one.
const manyKeys = 16

func (l *lexer) name() (any, error) {
	w := l.letters()
	if n, ok := usualValues().names[string(w)]; ok {
		return n, nil
	}
	if isPlain(w) {
		return name(w), nil
	}
	out := make([]byte, 0, len(w))
	for i := 0; i < len(w); i++ {
		c := w[i]
		if c == '#' {
			var b [1]byte
			if i+2 >= len(w) {
				return nil, damaged(nameEscaped, "name", clipped(string(w)))
			}
			if _, err := hex.Decode(b[:], w[i+1:i+3]); err != nil {
				return nil, damaged(nameEscaped, "name", clipped(string(w)))
			}
			c, i = b[0], i+2
		}
		out = append(out, c)
	}
	if l.strict && !bytes.Equal(spelled(name(out)), w) {
		return nil, damaged(nameEscaped, "name", clipped(string(out)))
	}
	return name(out), nil
}

// isPlain reports whether a name is spelled as it is.
func isPlain(w []byte) bool {
	for _, c := range w {
		if c <= ' ' || c >= 0x7f || c == '#' {
			return false
		}
	}
	return true
}

// clipped is s, or its beginning: enough to find it by.
func clipped(s string) string { return s[:min(len(s), 60)] }

func (l *lexer) hex() (any, error) {
	end := bytes.IndexByte(l.b[l.at:], '>')
	if end < 0 {
		return nil, errEnd
	}
	if end > 2*maxString {
		return nil, errLongString
	}
	var digits []byte
	for _, c := range l.b[l.at : l.at+end] {
		if !white(c) {
			digits = append(digits, c)
		}
	}
	l.at += end + 1
	if len(digits)%2 == 1 {
		digits = append(digits, '0')
	}
	out := make([]byte, len(digits)/2)
	if _, err := hex.Decode(out, digits); err != nil {
		return nil, damaged(stringForm, "at", l.at)
	}
	return text(out), nil
}

func (l *lexer) literal() (any, error) {
	var out []byte
	for open := 1; l.at < len(l.b); {
		if len(out) > maxString {
			return nil, errLongString
		}
		c := l.b[l.at]
		l.at++
		switch c {
		case '(':
			open++
		case ')':
			if open--; open == 0 {
				return text(out), nil
			}
		case '\r': // any end of line reads as one line feed
			l.take("\n")
			c = '\n'
		case '\\':
			out = l.escape(out)
			continue
		}
		out = append(out, c)
	}
	return nil, errEnd
}

// escape appends what the escape at l means; the backslash is passed.
func (l *lexer) escape(out []byte) []byte {
	if l.at >= len(l.b) {
		return out
	}
	c := l.b[l.at]
	l.at++
	if i := bytes.IndexByte([]byte("nrtbf"), c); i >= 0 {
		return append(out, "\n\r\t\b\f"[i])
	}
	switch {
	case c == '\n':
		return out
	case c == '\r':
		l.take("\n")
		return out
	case c < '0' || c > '7':
		return append(out, c)
	}
	v := int(c - '0')
	for n := 1; n < 3 && l.at < len(l.b) && l.b[l.at] >= '0' && l.b[l.at] <= '7'; n++ {
		v = v<<3 | int(l.b[l.at]-'0')
		l.at++
	}
	return append(out, byte(v))
}
