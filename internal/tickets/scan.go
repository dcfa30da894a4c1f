package tickets

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"
)

// errWhole says that a form holds what cannot be read line by line: another
// encoding, or a fault of the whole file. The forms are then read whole.
var errWhole = errors.New("the form must be read whole")

// noJob is the job of a line that holds for every job, and of none at all.
const noJob = -1

// entry is where a line of a form lies; 16 bytes.
type entry struct {
	offset, size uint32
	line         int32 // its first, from 1
	job          int32 // in the order of the forms, or noJob
}

// end is the offset behind a line.
func (e entry) end() uint32 { return e.offset + e.size }

// scanner goes through the lines of a form once, keeping none. What a line
// holds is checked when its job is read; only what concerns the whole file is
// checked here.
type scanner struct {
	src    *bufio.Reader
	head   *form  // its header, read
	prefix []byte // the bytes up to and with the header
	offset int64  // of the next byte
	line   int    // number of the lines read
	long   []byte // a line longer than the buffer
	record []byte // a line of quoted line feeds
}

// scannedLine is one line with something in it; cells are taken apart on demand.
type scannedLine struct {
	entry
	text string
	sep  rune
	all  []string // cells, where they had to be taken apart
}

func newScanner(at io.ReaderAt, size int64) *scanner {
	return &scanner{src: bufio.NewReaderSize(io.NewSectionReader(at, 0, size), 1<<16)}
}

// next gives the next physical line with its end, valid until the call after;
// io.EOF behind the last.
func (s *scanner) next() ([]byte, error) {
	b, err := s.src.ReadSlice('\n')
	if err == bufio.ErrBufferFull {
		s.long = append(s.long[:0], b...)
		for err == bufio.ErrBufferFull && len(s.long) <= maxLineBytes {
			b, err = s.src.ReadSlice('\n')
			s.long = append(s.long, b...)
		}
		b = s.long
	}
	switch {
	case err != nil && err != io.EOF:
		return nil, err
	case len(b) == 0:
		return nil, io.EOF
	case len(b) > maxLineBytes || s.offset+int64(len(b)) > maxFormBytes || !plainText(b):
		return nil, errWhole
	}
	s.offset += int64(len(b))
	s.line++
	return b, nil
}

// plainText says whether a line is text that needs no further look.
func plainText(b []byte) bool {
	for i, c := range b {
		if c >= ' ' && c != 0x7f || c == '\n' || c == '\t' {
			continue
		}
		if c != '\r' || i+1 < len(b) && b[i+1] != '\n' {
			return false
		}
	}
	return utf8.Valid(b)
}

// readHead reads up to the header, which is read as it is of a whole form: the
// separator is recognised from what stands above it too.
func (s *scanner) readHead(name string, sp *spec) error {
	for open := false; ; {
		b, err := s.next()
		if err == io.EOF {
			return errWhole // no header: a fault
		}
		if err != nil {
			return err
		}
		s.prefix = append(s.prefix, b...)
		if len(s.prefix) > maxLineBytes {
			return errWhole
		}
		if !open && (isComment(string(b), ',') || strings.TrimSpace(string(b)) == "") {
			continue
		}
		if open = open != (bytes.Count(b, []byte{'"'})%2 == 1); open {
			continue
		}
		f := readForm(Form{Name: name, Bytes: s.prefix}, sp, newSink())
		switch {
		case f.header != nil && !f.broken:
			s.head = f
			return nil
		case f.header != nil || f.src.start == nil:
			return errWhole
		}
	}
}

// nextLine gives the next line that is neither blank nor a comment.
func (s *scanner) nextLine() (scannedLine, error) {
	for {
		l := scannedLine{sep: s.head.sep}
		l.offset, l.line = uint32(s.offset), int32(s.line+1)
		b, err := s.next()
		if err != nil {
			return l, err
		}
		if l.text = string(b); isComment(l.text, l.sep) || strings.TrimSpace(l.text) == "" {
			continue
		}
		if bytes.IndexByte(b, '"') >= 0 {
			if b, err = s.quoted(b); err != nil {
				return l, err
			}
			cr := csv.NewReader(bytes.NewReader(b))
			cr.Comma, cr.FieldsPerRecord = l.sep, -1
			if l.all, err = cr.Read(); err != nil {
				return l, errWhole
			}
			l.text = string(b)
		}
		l.size = uint32(len(b))
		if l.holds() {
			return l, nil
		}
	}
}

// quoted reads on to the end of a line whose quotes run over line feeds.
func (s *scanner) quoted(b []byte) ([]byte, error) {
	open := bytes.Count(b, []byte{'"'})%2 == 1
	if !open {
		return b, nil
	}
	s.record = append(s.record[:0], b...)
	for open {
		b, err := s.next()
		if err == io.EOF {
			return nil, errWhole // never closed
		}
		if err != nil {
			return nil, err
		}
		s.record = append(s.record, b...)
		open = bytes.Count(b, []byte{'"'})%2 == 0
	}
	return s.record, nil
}

// holds says whether a line has a filled cell and does not begin a comment.
func (l *scannedLine) holds() bool {
	first := l.cell(0)
	if first == "#" || strings.HasPrefix(first, "# ") {
		return false
	}
	if first != "" {
		return true
	}
	for _, c := range l.cells() {
		if trim(c) != "" {
			return true
		}
	}
	return false
}

// cells takes a line apart.
func (l *scannedLine) cells() []string {
	if l.all == nil {
		l.all = strings.Split(strings.TrimRight(l.text, "\r\n"), string(l.sep))
	}
	return l.all
}

// cell gives the i-th cell, trimmed; "" where the line ends before it.
func (l *scannedLine) cell(i int) string {
	if l.all != nil {
		if i < len(l.all) {
			return trim(l.all[i])
		}
		return ""
	}
	rest := l.text
	for ; i > 0; i-- {
		at := strings.IndexByte(rest, byte(l.sep))
		if at < 0 {
			return ""
		}
		rest = rest[at+1:]
	}
	if at := strings.IndexByte(rest, byte(l.sep)); at >= 0 {
		rest = rest[:at]
	}
	return trim(rest)
}
