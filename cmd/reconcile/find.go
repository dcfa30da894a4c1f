package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"

	"reconcile/internal/pdfout"
	"reconcile/internal/signoff"
	"reconcile/internal/words"
)

// hashIn finds the hash in what was typed, its blanks taken out: the hash alone,
// the text of the square code, or that of the code on pages of early copies.
var hashIn = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile("^(?:REC:1:)?([0-9A-F]{64})$|^" + strings.ReplaceAll(regexp.QuoteMeta(packed(words.SquareCode("HASH"))), "HASH", "([0-9A-F]{64})") + "$")
})

// packed is text in capitals without blanks and line breaks.
func packed(text string) string { return strings.ToUpper(strings.Join(strings.Fields(text), "")) }

// findHash says which summaries and lines of registers have a hash.
func findHash(typed string, paths []string, s streams) int {
	found := hashIn().FindStringSubmatch(packed(typed))
	switch {
	case found == nil:
		return s.refuse(fmt.Sprintf("--find %q is not a SHA-256 (want 64 hex digits, as printed or as the square code says it)", typed))
	case len(paths) == 0:
		return s.refuse("verify --find: no path given (want summaries, registers, or folders of them)")
	}
	look := finder{hash: found[1] + found[2], streams: s, status: exitOver}
	for _, path := range paths {
		look.path(path)
	}
	return look.status
}

// finder looks through files for one hash.
type finder struct {
	streams
	hash   string
	status int
}

// path looks at a file, or at the summaries and registers of a folder.
func (l *finder) path(path string) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		l.status = l.refuse(fmt.Sprintf("%q: %v", path, cause(err)))
		return
	case !info.IsDir():
		l.file(path)
		return
	}
	entries, err := os.ReadDir(path)
	if err != nil {
		l.status = l.refuse(fmt.Sprintf("%q: %v", path, cause(err)))
		return
	}
	for _, e := range entries {
		kind := strings.ToLower(filepath.Ext(e.Name()))
		if (kind == ".pdf" || e.Name() == registerName || e.Name() == "jobs.csv") && !strings.HasPrefix(e.Name(), ".") && !e.IsDir() {
			l.file(filepath.Join(path, e.Name()))
		}
	}
}

func (l *finder) file(path string) {
	if strings.EqualFold(filepath.Ext(path), ".csv") {
		l.table(path)
		return
	}
	b, err := readPDF(path)
	if err != nil {
		l.status = l.refuse(err.Error())
		return
	}
	if l.is(b) {
		l.found("the file " + path)
	}
	files, _ := signoff.Attachments(b) // as far as it can be read, whoever wrote it
	for _, f := range files {
		switch {
		case !l.is(f.Bytes):
		case f.Name == pdfout.RecordName:
			l.found("the record of " + path)
		default:
			l.found("a file attached to " + path)
		}
	}
}

func (l *finder) is(b []byte) bool { return fmt.Sprintf("%X", sha256.Sum256(b)) == l.hash }

// found reports one place. A path that could not be read stays the graver.
func (l *finder) found(place string) {
	if l.status == exitOver {
		l.status = exitWithin
	}
	fmt.Fprintln(l.out, words.Escape(place))
}

// table looks for the hash in the columns of a register that hold hashes.
func (l *finder) table(path string) {
	b, err := readForm(path)
	if err != nil {
		l.status = l.refuse(err.Error())
		return
	}
	rows := csv.NewReader(bytes.NewReader(b))
	rows.FieldsPerRecord = -1
	var head []string
	for {
		cells, err := rows.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			l.status = l.refuse(fmt.Sprintf("%q: %v", path, err))
			return
		}
		if head == nil {
			head = slices.Clone(cells)
			continue
		}
		line, _ := rows.FieldPos(0)
		for i, cell := range cells {
			if i < len(head) && strings.EqualFold(cell, l.hash) {
				if what, ok := strings.CutSuffix(head[i], "_sha256"); ok {
					l.found(fmt.Sprintf("the %s named in line %d of %s", what, line, path))
				}
			}
		}
	}
}
