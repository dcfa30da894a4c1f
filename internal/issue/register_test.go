package issue

import (
	"bytes"
	"errors"
	"strings"
	"testing"
)

// headerSum is the SHA-256 of the header, from sha256sum of GNU coreutils.
const headerSum = "d7b1adaa85c7708827550bce55b703df5ffc6dc5f04e3e9260d149e6e8ac2b45"

const (
	sumA = "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"
	sumB = "bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb"
	sumC = "cccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccc"
)

func line(number, file, record string) Line {
	return Line{Number: number, IssuedAt: "2026-03-14", Job: strings.TrimSuffix(file, ".pdf"), Verdict: "within", MarginKg: "-12.000",
		RecordSHA256: record, FileSHA256: sumB, File: file}
}

// written is a register with lines added one by one, as bytes.
func written(t *testing.T, lines ...Line) (*Register, []byte) {
	t.Helper()
	r, all := empty(t), header()
	for _, l := range lines {
		all = append(all, appended(t, r, l)...)
	}
	return r, all
}

func empty(t *testing.T) *Register {
	t.Helper()
	r, err := Parse(header(), true)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestNewRegister: where none is there the header is written once, by itself or with the
// first lines.
func TestNewRegister(t *testing.T) {
	first := line("1", "one.pdf", sumA)
	_, want := written(t, first)
	for name, before := range map[string][]Line{"by itself": {}, "with a line": {first}} {
		r, err := Parse(nil, false)
		if err != nil {
			t.Fatal(err)
		}
		var all []byte
		write := func(b []byte) error {
			all = append(all, b...)
			return nil
		}
		for _, lines := range [][]Line{before, []Line{first}[len(before):]} {
			if in, err := r.Append(lines, write); err != nil || !in {
				t.Fatalf("%s: %v, %v", name, in, err)
			}
		}
		if !bytes.Equal(all, want) || len(r.Lines) != 1 || !r.Numbered {
			t.Errorf("%s: %q (want %q), %+v", name, all, want, r)
		}
	}
}

// appended is a line as it was written.
func appended(t *testing.T, r *Register, l Line) (line []byte) {
	t.Helper()
	in, err := r.Append([]Line{l}, func(b []byte) error { line = b; return nil })
	if err != nil || !in {
		t.Fatalf("appended: %v, %v", in, err)
	}
	return line
}

// TestChain writes the first line by hand and holds the second to the hash of
// the first.
func TestChain(t *testing.T) {
	first := line("W-0009", "one.pdf", sumA)
	first.Owner = "=1+1"
	_, all := written(t, first, line("W-0010", "two.pdf", sumC))
	want := `W-0009,2026-03-14,one,"'=1+1",,,within,,,-12.000,` + sumA + "," + sumB + ",one.pdf,,," + headerSum + "\n"
	lines := strings.SplitAfter(string(all), "\n")
	if lines[1] != want {
		t.Fatalf("first line %q\nwant       %q", lines[1], want)
	}
	if !strings.HasSuffix(lines[2], ","+sum([]byte(lines[1]))+"\n") {
		t.Errorf("the second line %q does not carry the hash of the first", lines[2])
	}
	r, err := Parse(all, true)
	if err != nil || len(r.Lines) != 2 || r.Lines[0].Owner != "'=1+1" {
		t.Fatalf("read back %v, %v", r, err)
	}
	if again := appended(t, r, line("W-0011", "three.pdf", sumA)); !strings.HasSuffix(string(again), ","+sum([]byte(lines[2]))+"\n") {
		t.Errorf("a line after reading back does not carry the hash of the last: %q", again)
	}
	if _, err := r.Append([]Line{line("W-0012", "four.pdf", sumA), line("W-0013", "five.pdf", sumA)}, func(b []byte) error { all = b; return nil }); err != nil || len(r.Lines) != 5 || bytes.Count(all, []byte("\n")) != 2 {
		t.Errorf("two lines at once: %v, %d lines, %q", err, len(r.Lines), all)
	}
}

// TestBrokenRegister changes a register of three lines in every way that the
// contract names; each is refused at its line.
func TestBrokenRegister(t *testing.T) {
	_, all := written(t, line("1", "one.pdf", sumA), line("2", "two.pdf", sumA), line("3", "three.pdf", sumA))
	text := string(all)
	lines := strings.SplitAfter(text, "\n")
	if _, err := Parse(all, true); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct{ text, says string }{
		"empty":                   {"", "1: this is not the header"},
		"saved by a spreadsheet":  {strings.ReplaceAll(text, "\n", "\r\n"), "1: this is not the header"},
		"last line broken off":    {text[:len(text)-40], "4: the last line is broken off"},
		"last line without end":   {text[:len(text)-1], "4: the last line is broken off"},
		"first line changed":      {strings.Replace(text, "1,2026", "7,2026", 1), "3: the chain does not hold"},
		"middle line out":         {lines[0] + lines[1] + lines[3], "3: the chain does not hold"},
		"first line out":          {lines[0] + lines[2] + lines[3], "2: the chain does not hold"},
		"lines exchanged":         {lines[0] + lines[2] + lines[1] + lines[3], "2: the chain does not hold"},
		"a line twice":            {text + lines[3], "5: the chain does not hold"},
		"something else appended": {text + "hello\n", "5: this is not a line"},
		"a blank line":            {text + "\n", "5: this is not a line"},
	} {
		if _, err := Parse([]byte(c.text), true); err == nil || !strings.HasPrefix(err.Error(), c.says) {
			t.Errorf("%s: %v (want %q)", name, err, c.says)
		} else if cut := strings.HasPrefix(name, "last line"); cut != strings.Contains(err.Error(), "if a run was stopped while it wrote this line") {
			t.Errorf("%s: %v (want what to do about a line cut off %v)", name, err, cut)
		}
	}
}

// TestNumbers: the rules of the contract, each row worked out by hand.
func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		name       string
		given      []string
		nextNumber string
		want       string
	}{
		{"first", nil, "2026-0042", "2026-0042"},
		{"next_number forgotten", []string{"2026-0042", "2026-0043"}, "2026-0042", "2026-0044"},
		{"next_number ahead", []string{"2026-0042"}, "2026-0050", "2026-0050"},
		{"the largest counts, not the last", []string{"2026-0050", "2026-0044"}, "2026-0042", "2026-0051"},
		{"another prefix starts at its own", []string{"2026-0042"}, "2027-0001", "2027-0001"},
		{"and each counts on", []string{"2026-0042", "2027-0007", "2026-0043"}, "2027-0001", "2027-0008"},
		{"width kept", []string{"A-0099"}, "A-0001", "A-0100"},
		{"and left behind", []string{"A-99"}, "A-01", "A-100"},
		{"of another width it is the same number", []string{"A-0042"}, "A-43", "A-43"},
		{"and not given again", []string{"A-0043"}, "A-43", "A-44"},
		{"blank: the last line's prefix", []string{"B-7", "A-009"}, "", "A-010"},
		{"blank: the largest of it", []string{"A-012", "A-009"}, "", "A-013"},
		{"blank: the last line without a number is passed over", []string{"A-009", ""}, "", "A-010"},
		{"blank and nothing given", nil, "", ""},
		{"no prefix", []string{"199"}, "101", "200"},
		{"more digits than a machine's number", []string{"99999999999999999999999"}, "1", "100000000000000000000000"},
		{"a prefix that a spreadsheet could take for a formula", []string{"=A-5"}, "=A-1", "=A-6"},
		{"and left blank", []string{"=A-5"}, "", "=A-6"},
	} {
		r := empty(t)
		for _, number := range c.given {
			appended(t, r, line(number, "x.pdf", sumA))
		}
		if got := r.next(c.nextNumber); got != c.want {
			t.Errorf("%s: %q (want %q)", c.name, got, c.want)
		}
	}
}

// TestGivenOnce asks for many numbers of many next_numbers: no number comes
// twice, also before its line is written.
func TestGivenOnce(t *testing.T) {
	r, seen := empty(t), map[string]bool{}
	for i := range 600 {
		number := r.Give([]string{"A-07", "A-0001", "A-30", "", "B-998"}[i%5], nil)
		prefix, digits, _ := split(number)
		if key := prefix + strings.TrimLeft(digits, "0"); seen[key] {
			t.Fatalf("%q is given twice", number)
		} else {
			seen[key] = true
		}
	}
	if len(seen) != 600 {
		t.Fatalf("%d numbers", len(seen))
	}
}

// TestAmendments follows what replaces what, by number and, where there is
// none, by the hash of the record.
func TestAmendments(t *testing.T) {
	second, third := line("3", "one-2.pdf", sumB), line("", "one-4.pdf", sumC)
	second.Replaces, third.Replaces = "1", "3"
	other := line("4", "two-2.pdf", sumB)
	other.Replaces = "1" // of another name
	fourth := line("5", "one-5.pdf", sumA)
	fourth.Replaces = sumC
	r, _ := written(t, line("1", "One.pdf", sumA), line("2", "one-3.pdf", sumA), other, second, third, fourth)
	var files []string
	for _, l := range r.Issued("one.pdf", "") {
		files = append(files, l.File)
	}
	if got := strings.Join(files, " "); got != "One.pdf one-2.pdf one-4.pdf one-5.pdf" {
		t.Errorf("issued as one.pdf %q", got)
	}
	if r.Issued("two.pdf", "") != nil || r.Issued("ONE.PDF", "") == nil {
		t.Error("names are not found as they are written, but for case")
	}
	if got := r.Issued("two.pdf", "1"); len(got) != 1 || got[0].File != "two-2.pdf" {
		t.Errorf("by what it replaces: %v", got)
	}
	if got := r.Issued("one-3.pdf", ""); len(got) != 1 {
		t.Errorf("a job called one-3 has amendments %v", got)
	}
	if got := AmendedName("one.pdf", 2); got != "one-2.pdf" {
		t.Errorf("amended name %q", got)
	}
}

// TestFollowing: of each prefix one, after the last line that was appended; what
// was read is of another run.
func TestFollowing(t *testing.T) {
	_, all := written(t, line("A-7", "a.pdf", sumA))
	r, err := Parse(all, true)
	if err != nil || r.Following != nil {
		t.Fatalf("read: %v, %v", r.Following, err)
	}
	for _, number := range []string{"A-8", "B9", "", "A-9"} {
		appended(t, r, line(number, number+".pdf", sumA))
	}
	if got := strings.Join(r.Following, " "); got != "B10 A-10" {
		t.Errorf("following %q", got)
	}
	if in, err := r.Append([]Line{line("C-1", "c.pdf", sumA)}, func([]byte) error { return errors.New("full") }); in || err == nil || len(r.Lines) != 5 || len(r.Following) != 2 {
		t.Errorf("a line that was not written: %v, %v, %d lines, following %v", in, err, len(r.Lines), r.Following)
	}
}

func TestAfter(t *testing.T) {
	for _, c := range [][2]string{{"1", "2"}, {"0099", "0100"}, {"2026-0042", "2026-0043"}, {"A9", "A10"}, {"99", "100"}, {"A", ""}} {
		if got := after(c[0]); got != c[1] {
			t.Errorf("after %q comes %q (want %q)", c[0], got, c[1])
		}
	}
}
