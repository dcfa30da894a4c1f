// Package issue keeps true what was issued: the register of issued summaries
// with its chain of hashes, and the numbers given once. It works on bytes; files
// and locks are the command's.
package issue

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"reconcile/internal/words"
)

// columns are those of the register, in their order.
var columns = []string{"number", "issued_at", "job", "owner", "vehicle_id", "trailer_id", "verdict", "rating", "on", "margin_kg",
	"record_sha256", "file_sha256", "file", "replaces", "because", "chain"}

// Line is one line of the register. Its texts are as a reader of CSV gives
// them: with the apostrophe that keeps a spreadsheet from seeing a formula.
// Replaces is the number of the summary that this one amends, or the SHA-256 of
// its record where it has no number.
type Line struct {
	Number, IssuedAt            string
	Job                         string
	Owner, VehicleID, TrailerID string
	Verdict, Rating, On         string
	MarginKg                    string
	RecordSHA256, FileSHA256    string
	File                        string
	Replaces, Because           string
}

// cells are the texts of a line in the order of the columns, without the chain.
func (l *Line) cells() []*string {
	return []*string{&l.Number, &l.IssuedAt, &l.Job, &l.Owner, &l.VehicleID, &l.TrailerID, &l.Verdict, &l.Rating, &l.On, &l.MarginKg,
		&l.RecordSHA256, &l.FileSHA256, &l.File, &l.Replaces, &l.Because}
}

// ref is how an amendment's line names this one.
func (l *Line) ref() string {
	if l.Number != "" {
		return l.Number
	}
	return l.RecordSHA256
}

// Register is a register read completely, and what was added to it since.
type Register struct {
	Lines []Line
	// Following are the numbers after those of the lines that were appended, of
	// each prefix one.
	Following []string
	chain     string           // SHA-256 of the last line as written; "" before the header is
	byFile    map[string]int   // the first line of each name, folded
	replaces  map[string][]int // lines by what they replace
	numbers
}

// header is the first line of a register.
func header() []byte { return []byte(strings.Join(columns, ",") + "\n") }

// Parse reads a register; where none is there nothing was issued yet. It is refused
// where its last line is broken or its chain does not hold: then a line was changed,
// taken out or put in. The error begins with the number of the line.
func Parse(b []byte, there bool) (*Register, error) {
	r := &Register{byFile: map[string]int{}, replaces: map[string][]int{}, numbers: numbers{largest: map[string]string{}}}
	if !there {
		return r, nil
	}
	r.chain = sum(header())
	rest, ok := bytes.CutPrefix(b, header())
	if !ok {
		return nil, fault(1, "this is not the header of a register", "the first line as the program wrote it")
	}
	for at := 2; len(rest) > 0; at++ {
		raw, left, whole := bytes.Cut(rest, []byte("\n"))
		if !whole {
			return nil, refused(at, "the last line is broken off", "a line that ends", "if a run was stopped while it wrote this line, and no summary has its number, "+
				"take what there is of the line away; else put back the copy that the program wrote")
		}
		raw, rest = rest[:len(raw)+1], left
		if err := r.read(raw, at); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// fault says what is wrong with a line, and what to do about it.
func fault(line int, what, wanted string) error {
	return refused(line, what, wanted, "a spreadsheet that saved it, or an editor, may have changed it: put back the copy that the program wrote, "+
		"or move it away with the summaries that it lists")
}

func refused(line int, what, wanted, hint string) error {
	return fmt.Errorf("%d: %s (want %s)\nhint: %s", line, what, wanted, hint)
}

var hash = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[0-9a-f]{64}$`) })

// read takes one line as it is written in the register.
func (r *Register) read(raw []byte, at int) error {
	cells, err := csv.NewReader(bytes.NewReader(raw)).Read()
	if err != nil || len(cells) != len(columns) {
		return fault(at, "this is not a line of a register", fmt.Sprintf("%d cells", len(columns)))
	}
	var l Line
	for i, cell := range l.cells() {
		*cell = cells[i]
	}
	switch chain := cells[len(cells)-1]; {
	case chain != r.chain:
		return fault(at, "the chain does not hold: a line before it was changed, taken out or put in", "the SHA-256 of the line before it")
	case !hash().MatchString(l.FileSHA256) || !hash().MatchString(l.RecordSHA256) || l.File == "":
		return fault(at, "the line names no summary", "a file and its hashes")
	}
	r.add(l, raw)
	return nil
}

func (r *Register) add(l Line, raw []byte) {
	key := fold(l.File)
	if _, there := r.byFile[key]; !there {
		r.byFile[key] = len(r.Lines)
	}
	if l.Replaces != "" {
		r.replaces[l.Replaces] = append(r.replaces[l.Replaces], len(r.Lines))
	}
	r.take(l.Number)
	r.Lines, r.chain = append(r.Lines, l), sum(raw)
}

// Append adds lines: write puts their bytes behind those of the register, of which there
// are none before its header was written, with the first lines or with none. The texts of
// the lines are plain: what a spreadsheet could take for a formula is quoted here. It says whether the lines were written; where they were, an error
// is as one of [Parse]. While write runs the register may be asked, and give
// numbers, but not be appended to.
func (r *Register) Append(lines []Line, write func(b []byte) error) (written bool, err error) {
	var all []byte
	begun := r.chain
	if begun == "" {
		all = header()
		begun = sum(all)
	}
	chain, first := begun, len(all)
	for _, l := range lines {
		raw := l.write(chain)
		all, chain = append(all, raw...), sum(raw)
	}
	if err := write(all); err != nil {
		return false, err
	}
	for i := range lines {
		r.issue(lines[i].Number)
	}
	r.Following, r.chain = r.following(), begun
	for raw := range bytes.Lines(all[first:]) {
		if err := r.read(raw, len(r.Lines)+2); err != nil {
			return true, err
		}
	}
	return true, nil
}

// write gives the bytes of a line, with the chain that it carries.
func (l *Line) write(chain string) []byte {
	var cells []string
	for _, cell := range l.cells() {
		if cell == &l.MarginKg {
			cells = append(cells, *cell) // a number, with its sign
			continue
		}
		cells = append(cells, words.Cell(*cell))
	}
	return []byte(strings.Join(append(cells, chain), ",") + "\n")
}

// Issued is the first line of a file's name and the lines that amend it, the
// oldest first: each replaces the one before it. Where the register does not
// have the name they are those that amend what ref names, a number or the SHA-256
// of a record.
func (r *Register) Issued(file, ref string) []Line {
	var found []Line
	if i, there := r.byFile[fold(words.CellText(file))]; there {
		found = append(found, r.Lines[i])
		ref = found[0].ref()
	}
	at := -1
	for {
		next := slices.IndexFunc(r.replaces[ref], func(i int) bool { return i > at && amends(r.Lines[i].File, words.CellText(file)) })
		if next < 0 {
			return found
		}
		at = r.replaces[ref][next]
		found = append(found, r.Lines[at])
		ref = r.Lines[at].ref()
	}
}

const ending = ".pdf"

// AmendedName is the name of the n-th amendment of a file, from 2 on.
func AmendedName(file string, n int) string {
	return fmt.Sprintf("%s-%d%s", strings.TrimSuffix(file, ending), n, ending)
}

var amendment = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^-[0-9]+$`) })

// amends says whether a name is that of an amendment of another.
func amends(name, of string) bool {
	base := strings.TrimSuffix(fold(of), ending)
	rest, ok := strings.CutPrefix(strings.TrimSuffix(fold(name), ending), base)
	return ok && amendment().MatchString(rest)
}

// fold is a name as a file system that knows no case compares it.
func fold(name string) string { return strings.ToLower(name) }

func sum(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}
