package tickets

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// The sizes beyond which a file is no form. A day of 100,000 jobs stays below
// them by a factor of four.
const (
	maxFormBytes  = 256 << 20
	maxLineBytes  = 1 << 20
	maxColumns    = 500
	maxCellLength = 10_000
)

const utf8Mark = "\ufeff"

// source is the text of a form with the way back to its bytes. UTF-8 text is its
// own bytes: a day of jobs is kept once.
type source struct {
	mark  string // the byte-order mark before the text
	text  string
	start []int  // where each line starts in text
	raw   []byte // the bytes of the form; nil where they are mark and text
	rawAt []int  // where each line starts in raw, mark not counted to line 1
}

// slip is a fault of the text, before lines and jobs are known.
type slip struct {
	offset             int // in text
	what, wanted, hint string
}

// foreign lists how files begin that are saved as CSV by mistake, and the cure.
var foreign = []struct{ magic, what, cure string }{
	{"PK\x03\x04", "this is a spreadsheet", saveAsCSV},
	{"PK\x05\x06", "this is a spreadsheet", saveAsCSV},
	{"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "this is a spreadsheet", saveAsCSV},
	{"%PDF-", "this is a PDF, not a form", "name it in the column copy, and type its figures into the form"},
	{"\x89PNG", "this is a picture, not a form", "name it in the column copy, and type its figures into the form"},
	{"\xff\xd8\xff", "this is a picture, not a form", "name it in the column copy, and type its figures into the form"},
	{"GIF8", "this is a picture, not a form", "name it in the column copy, and type its figures into the form"},
	{"\x1f\x8b", "this is a packed file", "unpack it first"},
	{"{\\rtf", "this is a word processor's file, not a form", "save it as plain text, with commas between the cells"},
	{"<!DOCTYPE", "this is a web page, not a form", "save the form itself, not the page that shows it"},
	{"<html", "this is a web page, not a form", "save the form itself, not the page that shows it"},
	{"<?xml", "this is an XML file, not a form", saveAsCSV},
}

const saveAsCSV = "open it in the spreadsheet program and save it with the file type CSV UTF-8"

const wantText = "plain text with one line per record, saved as CSV UTF-8"

// readSource decodes the bytes of a form: UTF-8 with or without a mark, or
// UTF-16 with one. A slip is a fault of the entire file; the text up to it is
// kept for the place.
func readSource(b []byte) (source, *slip) {
	if len(b) > maxFormBytes {
		return source{}, &slip{what: fmt.Sprintf("the file has %d bytes", len(b)), wanted: fmt.Sprintf("at most %d", maxFormBytes)}
	}
	for _, f := range foreign {
		if bytes.HasPrefix(b, []byte(f.magic)) {
			return source{}, &slip{what: f.what, wanted: wantText, hint: f.cure}
		}
	}
	switch {
	case bytes.HasPrefix(b, []byte("\xff\xfe")):
		return readUTF16(b, func(p []byte) uint16 { return uint16(p[0]) | uint16(p[1])<<8 })
	case bytes.HasPrefix(b, []byte("\xfe\xff")):
		return readUTF16(b, func(p []byte) uint16 { return uint16(p[1]) | uint16(p[0])<<8 })
	}
	return readUTF8(b)
}

func readUTF8(b []byte) (source, *slip) {
	var s source
	s.text = string(b)
	if text, marked := strings.CutPrefix(s.text, utf8Mark); marked {
		s.mark, s.text = utf8Mark, text
	}
	s.start = lineStarts(s.text)
	if !utf8.ValidString(s.text) {
		at := invalidUTF8(s.text)
		return s, &slip{at, fmt.Sprintf("byte 0x%02X is not UTF-8 text", s.text[at]), wantText, "in the spreadsheet choose the file type CSV UTF-8"}
	}
	return s, s.check()
}

// readUTF16 decodes two-byte text, unit by unit, and keeps where each line
// starts in the bytes.
func readUTF16(b []byte, unit func([]byte) uint16) (source, *slip) {
	s := source{mark: string(b[:2]), start: []int{0}, raw: b, rawAt: []int{2}}
	var text strings.Builder
	var bad *slip
	i := 2
	for ; i+1 < len(b); i += 2 {
		r, width := rune(unit(b[i:])), 2
		if utf16.IsSurrogate(r) {
			r, width = surrogatePair(b[i:], unit)
		}
		if r == unicode.ReplacementChar && width == 2 && bad == nil && utf16.IsSurrogate(rune(unit(b[i:]))) {
			bad = &slip{text.Len(), "half a character is here", wantText, "in the spreadsheet choose the file type CSV UTF-8"}
		}
		text.WriteRune(r)
		i += width - 2
		if r == '\n' {
			s.start = append(s.start, text.Len())
			s.rawAt = append(s.rawAt, i+2)
		}
	}
	s.text = text.String()
	if bad == nil && i < len(b) {
		bad = &slip{len(s.text), "the file ends in half a character", wantText, "in the spreadsheet choose the file type CSV UTF-8"}
	}
	if bad == nil {
		bad = s.check()
	}
	return s, bad
}

func surrogatePair(b []byte, unit func([]byte) uint16) (rune, int) {
	if len(b) >= 4 {
		if r := utf16.DecodeRune(rune(unit(b)), rune(unit(b[2:]))); r != unicode.ReplacementChar {
			return r, 4
		}
	}
	return unicode.ReplacementChar, 2
}

func lineStarts(text string) []int {
	starts := make([]int, 1, 1+strings.Count(text, "\n"))
	for i := 0; ; {
		n := strings.IndexByte(text[i:], '\n')
		if n < 0 {
			return starts
		}
		i += n + 1
		starts = append(starts, i)
	}
}

func invalidUTF8(text string) int {
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRuneInString(text[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return 0
}

// check refuses what no form holds: control characters, lines that end with a
// carriage return alone, and lines too long to be read by a person.
func (s *source) check() *slip {
	if bad := s.checkControls(); bad != nil {
		return bad
	}
	for i, at := range s.start {
		end := len(s.text)
		if i+1 < len(s.start) {
			end = s.start[i+1]
		}
		if end-at > maxLineBytes {
			return &slip{at, fmt.Sprintf("the line has %d bytes", end-at), fmt.Sprintf("at most %d", maxLineBytes), ""}
		}
	}
	return nil
}

func (s *source) checkControls() *slip {
	for i := 0; i < len(s.text); i++ {
		c := s.text[i]
		if c >= ' ' && c != 0x7f || c == '\n' || c == '\t' {
			continue
		}
		switch {
		case c == '\r' && (i+1 == len(s.text) || s.text[i+1] == '\n'):
			continue
		case c == '\r' && len(s.start) == 1:
			return &slip{i, "the lines end with a carriage return alone", "lines that end with a line feed", "save the form again as CSV UTF-8"}
		case c == '\r':
			return &slip{i, "a carriage return is inside a line", "lines that end with a line feed", "save the form again as CSV UTF-8"}
		case c == 0 && i < 4:
			return &slip{0, "this is two-byte text without a mark", wantText, "in the spreadsheet choose the file type CSV UTF-8"}
		}
		return &slip{i, fmt.Sprintf("the control character U+%04X is here", c), wantText, "delete it"}
	}
	return nil
}

// place gives line and column of an offset, as an editor shows them: from 1,
// the column in characters.
func (s *source) place(offset int) (line, column int) {
	line = 1
	for lo, hi := 0, len(s.start); lo < hi; {
		mid := (lo + hi) / 2
		if s.start[mid] <= offset {
			line, lo = mid+1, mid+1
		} else {
			hi = mid
		}
	}
	if len(s.start) == 0 {
		return 1, 1
	}
	return line, 1 + utf8.RuneCountInString(s.text[s.start[line-1]:offset])
}

// line is the text of a line, counted from 0, with its end.
func (s *source) line(i int) string {
	if i+1 < len(s.start) {
		return s.text[s.start[i]:s.start[i+1]]
	}
	return s.text[s.start[i]:]
}

// bytes is the form, byte for byte.
func (s *source) bytes() []byte {
	if s.raw != nil {
		return s.raw
	}
	return append([]byte(s.mark), s.text...)
}

// extent is where the lines of a span begin and end in the bytes of the form, or in
// its text where that is its bytes. The mark belongs to no line.
func (s *source) extent(at span) (from, to int) {
	starts, to := s.start, len(s.text)
	if s.raw != nil {
		starts, to = s.rawAt, len(s.raw)
	}
	if int(at.last) < len(starts) {
		to = starts[at.last]
	}
	return starts[at.first-1], to
}

// appendLines appends the bytes of the lines of a span.
func (s *source) appendLines(b []byte, at span) []byte {
	from, to := s.extent(at)
	if s.raw != nil {
		return append(b, s.raw[from:to]...)
	}
	return append(b, s.text[from:to]...)
}
