package signoff

import "bytes"

// pass passes an object without keeping anything of it, as most are written: their
// values are made when somebody asks for them. False: [lexer.object] has to read it,
// and says what is wrong with it, if anything is; where the lexer is then does not
// matter. True is only said of what that one reads to the same end, counting the same
// values, and of what is not [forbidden].
func (l *lexer) pass(depth int) bool {
	l.skip()
	l.values++
	if l.values > maxValues || depth > maxDepth || l.at >= len(l.b) {
		return false
	}
	switch l.b[l.at] {
	case '<':
		if l.take("<<") {
			return l.passDict(depth)
		}
		return l.passHex()
	case '(':
		return l.passLiteral()
	case '[':
		return l.passArray(depth)
	case '/':
		_, ok := l.passName()
		return ok
	}
	w := l.letters()
	if _, ok := whole(w); ok {
		l.reference()
	}
	return len(w) > 0
}

func (l *lexer) passDict(depth int) bool {
	from := len(l.keys)
	for {
		l.skip()
		if l.take(">>") {
			l.keys = l.keys[:from]
			return true
		}
		l.values++
		key, ok := l.passName()
		if !ok || len(l.keys) == from+manyKeys {
			return false
		}
		for _, k := range l.keys[from:] {
			if string(k) == string(key) {
				return false
			}
		}
		if l.keys = append(l.keys, key); !l.pass(depth + 1) {
			return false
		}
	}
}

func (l *lexer) passArray(depth int) bool {
	for l.at++; ; {
		l.skip()
		if l.take("]") {
			return true
		}
		if !l.pass(depth + 1) {
			return false
		}
	}
}

// passName passes a name spelled as it is, and none that an object may not have.
func (l *lexer) passName() (w []byte, ok bool) {
	if !l.take("/") {
		return nil, false
	}
	w = l.letters()
	switch string(w) {
	case "Linearized", "Encrypt", "XRefStm", "ObjStm", "XRef":
		return nil, false
	}
	return w, isPlain(w)
}

func (l *lexer) passHex() bool {
	l.at++
	end := bytes.IndexByte(l.b[l.at:], '>')
	if end < 0 || end > maxString {
		return false
	}
	for _, c := range l.b[l.at : l.at+end] {
		if !hexDigits[c] && !white(c) {
			return false
		}
	}
	l.at += end + 1
	return true
}

var hexDigits = func() (is [256]bool) {
	for _, c := range "0123456789abcdefABCDEF" {
		is[c] = true
	}
	return is
}()

// passLiteral passes a string without brackets in it but escaped ones, and without ends of
// lines.
func (l *lexer) passLiteral() bool {
	rest := l.b[l.at+1 : min(l.at+1+maxString, len(l.b))]
	for i := 0; i < len(rest); i++ {
		switch rest[i] {
		case ')':
			l.at += 1 + i + 1
			return true
		case '(', '\r':
			return false
		case '\\':
			i++ // what is escaped, or its first digit: the others end nothing
		}
	}
	return false
}
