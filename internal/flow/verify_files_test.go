package flow

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/signoff"
	"reconcile/internal/study"
)

// pieces is a summary cut at its objects, so that a careful forger can put them
// together again with every offset and the identifier right.
type pieces struct {
	header  string
	objects []string
	trailer string // from "trailer" to the end, the offset of the table left out
}

func cut(t *testing.T, pdf []byte) *pieces {
	t.Helper()
	s := string(pdf)
	table := strings.LastIndex(s, "xref\n0 ")
	var starts []int
	for _, m := range regexp.MustCompile(`([0-9]{10}) 00000 n `).FindAllStringSubmatch(s[table:], -1) {
		var at int
		fmt.Sscanf(m[1], "%d", &at)
		starts = append(starts, at)
	}
	if len(starts) < 10 {
		t.Fatalf("%d objects", len(starts))
	}
	p := &pieces{header: s[:starts[0]], trailer: s[strings.LastIndex(s, "trailer\n"):]}
	p.trailer = p.trailer[:strings.Index(p.trailer, "startxref\n")]
	for i, at := range starts {
		end := table
		if i+1 < len(starts) {
			end = starts[i+1]
		}
		p.objects = append(p.objects, s[at:end])
	}
	return p
}

// whole puts the pieces together, with the offsets and the identifier right.
func (p *pieces) whole() []byte {
	var b bytes.Buffer
	b.WriteString(p.header)
	table := fmt.Sprintf("xref\n0 %d\n0000000000 65535 f \n", len(p.objects)+1)
	for _, o := range p.objects {
		table += fmt.Sprintf("%010d 00000 n \n", b.Len()+strings.Index(o, " 0 obj")-len(o[:strings.Index(o, " 0 obj")]))
		b.WriteString(o)
	}
	at := b.Len()
	fmt.Fprintf(&b, "%s%sstartxref\n%d\n%%%%EOF\n", table, p.trailer, at)
	return identified(b.Bytes())
}

// identified gives a file the identifier that its bytes give.
func identified(pdf []byte) []byte {
	const mark, digits = "/ID [<", 64
	at := bytes.LastIndex(pdf, []byte(mark)) + len(mark)
	zeros := bytes.Repeat([]byte("0"), digits)
	copy(pdf[at:], zeros)
	copy(pdf[at+digits+2:], zeros)
	sum := sha256.Sum256(pdf)
	hex.Encode(pdf[at:], sum[:])
	copy(pdf[at+digits+2:], pdf[at:at+digits])
	return pdf
}

// TestVerifyForgedFiles: true forms and a true record in a file that shows a
// reader something else, or hides something. Each is not sound, and is not
// signed.
func TestVerifyForgedFiles(t *testing.T) {
	r, other := recordsOf(t, "planetarium")[0], recordsOf(t, "over-rear-axle")[0]
	pdf := summaryOf(t, r)
	wantOutcome(t, "cut and put together", cut(t, pdf).whole(), "not_signed")
	lies := cut(t, summaryOf(t, other))
	for _, c := range []struct {
		name  string
		forge func(p *pieces)
	}{
		{"a linearised first object", func(p *pieces) { p.objects[0] = strings.Replace(p.objects[0], "<<", "<< /Linearized 1", 1) }},
		{"a comment after the header", func(p *pieces) { p.header += "% a word\n" }},
		{"a comment between objects", func(p *pieces) { p.objects[3] += "% a word\n" }},
		{"a comment in the trailer", func(p *pieces) { p.trailer = strings.Replace(p.trailer, "/Root", "% a word\n/Root", 1) }},
		{"loose bytes between objects", func(p *pieces) { p.objects[3] += "words\n" }},
		{"an empty line between objects", func(p *pieces) { p.objects[3] += "\n" }},
		{"an object more", func(p *pieces) {
			p.objects = append(p.objects, fmt.Sprintf("%d 0 obj\n<< >>\nendobj\n", len(p.objects)+1))
		}},
		{"an object twice", func(p *pieces) { p.objects[3] += p.objects[4] }},
		{"the pages of another summary", func(p *pieces) {
			i, j := longest(p), longest(lies)
			p.objects[i] = regexp.MustCompile(`^[0-9]+`).ReplaceAllString(lies.objects[j], fmt.Sprint(i+1))
		}},
		{"a second table", func(p *pieces) { p.trailer = strings.Replace(p.trailer, "/Root", "/Prev 9\n/Root", 1) }},
		{"a second catalog", func(p *pieces) {
			p.trailer = regexp.MustCompile(`/Root [0-9]+`).ReplaceAllString(p.trailer, "/Root 1")
		}},
		{"other information", func(p *pieces) {
			p.trailer = regexp.MustCompile(`/Info [0-9]+`).ReplaceAllString(p.trailer, "/Info 1")
		}},
		{"an entry more in the table", func(p *pieces) { p.objects[len(p.objects)-1] += "xref\n0 1\n0000000000 65535 f \n" }},
	} {
		p := cut(t, pdf)
		c.forge(p)
		forged := p.whole()
		if bytes.Equal(forged, pdf) {
			t.Errorf("%s: nothing was changed", c.name)
		}
		wantOutcome(t, c.name, forged, "not_sound")
		if signed, err := signoff.Sign(forged, yard(), signedOn, ""); err == nil {
			wantOutcome(t, c.name+", signed", signed, "not_sound")
		}
	}
	for name, added := range map[string]string{"a line": "\n", "an end mark": "%%EOF\n", "an object": "1 0 obj\n<< >>\nendobj\n"} {
		wantOutcome(t, name+" added at the end", append(bytes.Clone(pdf), added...), "not_sound")
	}
	wantOutcome(t, "the first half", pdf[:len(pdf)/2], "not_sound")
}

// longest is the object of most bytes that is a page's content, the first one.
func longest(p *pieces) int {
	return slices.IndexFunc(p.objects, func(o string) bool {
		return strings.Contains(o, "/Filter /FlateDecode") && !strings.Contains(o, "/Type") && !strings.Contains(o, "/Length1") && len(o) > 2000
	})
}

// TestVerifyAttachments: what is attached once under each name, and named.
func TestVerifyAttachments(t *testing.T) {
	r := recordsOf(t, "planetarium")[0]
	pdf := summaryOf(t, r)
	p := cut(t, pdf)
	list := slices.IndexFunc(p.objects, func(o string) bool { return strings.Contains(o, "/Names [") })
	if list < 0 {
		t.Fatal("no list of attachments")
	}
	entry := regexp.MustCompile(`(<[0-9A-F]+>|\([^)]*\)) [0-9]+ 0 R`)
	all := entry.FindAllString(p.objects[list], -1)
	if len(all) < 5 {
		t.Fatalf("%d attachments", len(all))
	}
	p.objects[list] = strings.Replace(p.objects[list], all[0], all[0]+" "+all[0], 1)
	if v := wantOutcome(t, "a form attached twice", p.whole(), "not_sound"); !strings.Contains(said(v), "attached twice") {
		t.Error(said(v))
	}
	swapped := cut(t, pdf)
	ref := regexp.MustCompile(`[0-9]+ 0 R$`)
	a, b := ref.FindString(all[0]), ref.FindString(all[1])
	swapped.objects[list] = strings.NewReplacer(all[0], ref.ReplaceAllString(all[0], b), all[1], ref.ReplaceAllString(all[1], a)).Replace(swapped.objects[list])
	wantOutcome(t, "two names swapped", swapped.whole(), "not_sound")
	f := forgeryOf(t, r)
	f.files = append(f.files, record.File{Name: record.EarlierFile, Bytes: r.Line})
	wantOutcome(t, "an earlier record that is not named", f.draw(t, nil), "not_sound")
	for i := range mostAttached {
		f.files = append(f.files, record.File{Name: fmt.Sprintf("%04d.txt", i), Bytes: []byte("x")})
	}
	if v := wantOutcome(t, "very many attachments", f.draw(t, nil), "not_sound"); !strings.Contains(said(v), "more than 1000 files") {
		t.Error(said(v))
	}
}

// TestVerifyFlips: bits flipped all over a signed summary, and cuts at random:
// each is not sound, or no summary at all.
func TestVerifyFlips(t *testing.T) {
	pdf := signedBy(t, summaryOf(t, recordsOf(t, "planetarium")[0]), yard())
	onAllCores(study.Size(3000, 150, 50), func(i int) {
		rng := rand.New(rand.NewPCG(13, uint64(i)))
		b := bytes.Clone(pdf)
		what := ""
		if i%3 == 0 {
			at := 5 + rng.IntN(len(pdf)-5)
			b, what = b[:at], fmt.Sprintf("cut at %d", at)
			if at >= len(pdf)-signatureBytes(pdf) && at <= len(pdf)-signatureBytes(pdf) {
				return // the unsigned summary
			}
		} else {
			at := 5 + rng.IntN(len(pdf)-5)
			b[at] ^= 1 << rng.IntN(8)
			what = fmt.Sprintf("a flip at %d", at)
		}
		if v := Verify(b, nil); v.Outcome != "not_sound" && v.Outcome != notRead {
			t.Errorf("%s of %d: %s", what, len(pdf), v.Outcome)
		}
	})
}

// signatureBytes is how much a signature added.
func signatureBytes(pdf []byte) int {
	const end = "%%EOF\n"
	return len(pdf) - bytes.Index(pdf, []byte("\n"+end)) - len("\n"+end)
}

// TestVerifyRewritten: a summary that another program has written again is not
// sound, and what can be read in it is reported.
func TestVerifyRewritten(t *testing.T) {
	qpdf := study.Tool(t, "qpdf")
	dir := t.TempDir()
	again := func(pdf []byte) []byte {
		in, out := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.pdf")
		if err := os.WriteFile(in, pdf, 0o666); err != nil {
			t.Fatal(err)
		}
		if b, err := exec.Command(qpdf, "--object-streams=generate", in, out).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, b)
		}
		b, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	r := recordsOf(t, "planetarium")[0]
	v := wantOutcome(t, "written again", again(summaryOf(t, r)), "not_sound")
	if v.Last != "not sound: written again by another program" || // qpdf leaves our name as the producer
		!strings.Contains(said(v), "the record is the same, byte for byte") || v.SHA256 != strings.ToUpper(fmt.Sprintf("%x", sha256.Sum256(r.Line))) {
		t.Error(said(v))
	}
	for _, c := range []struct{ file, old, new, want string }{
		{"tickets.csv", "1240", "1241", `"tickets.csv" is not the file that the record was made from (first difference: line 2)`},
		{"tickets.csv", "1240", "12,4,0", `"tickets.csv" is not the file that the record was made from (first difference: line 2)`},
		{"ratings.csv", ",310,", ",311,", `"ratings.csv" is not the file that the record was made from (first difference: line 10)`},
		{"outfit.csv", "DOME 1", "DOME 3", `"outfit.csv" is not the file that the record was made from`},
	} {
		f := forgeryOf(t, r)
		a := f.file(c.file)
		if !bytes.Contains(a.Bytes, []byte(c.old)) {
			t.Fatalf("%s has no %q", c.file, c.old)
		}
		a.Bytes = bytes.Replace(a.Bytes, []byte(c.old), []byte(c.new), 1)
		v := wantOutcome(t, c.file+" changed", again(f.draw(t, nil)), "not_sound")
		if !strings.Contains(said(v), c.want) || strings.Contains(said(v), "recalculated") {
			t.Errorf("%s: want %s:\n%s", c.file, c.want, said(v))
		}
	}
	f := forgeryOf(t, r)
	f.record.Verdict = "over"
	if v := wantOutcome(t, "a false record written again", again(f.draw(t, nil)), "not_sound"); !strings.Contains(said(v), "verdict is") {
		t.Error(said(v))
	}
	f.record.Schema, f.record.Program = "reconcile-record/1", "1.0.0"
	wantOutcome(t, "another version's, in another form", again(f.draw(t, nil)), notRead)
}

// TestVerifyCodes: every code that verify finds here has a sentence, and no
// argument that is not in the table.
func TestVerifyCodes(t *testing.T) {
	codes, err := os.ReadFile("../words/verify_codes.go")
	if err != nil {
		t.Fatal(err)
	}
	table := map[string][]string{}
	for _, c := range regexp.MustCompile(`(?m)^\t\{"([a-z_]+)", (?:nil|\[\]string\{(.*)\})\},$`).FindAllStringSubmatch(string(codes), -1) {
		table[c[1]] = strings.Split(strings.ReplaceAll(c[2], `"`, ""), ", ")
	}
	if len(table) < 80 {
		t.Fatalf("only %d codes", len(table))
	}
	source, err := filepath.Glob("verify*.go")
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	call := regexp.MustCompile(`v\.(?:unsound\(|add\(words\.Status[A-Za-z]+, )"([a-z_]+)"((?:, "[a-z0-9_]+", [^,\n]+)*)`)
	for _, name := range source {
		b, err := os.ReadFile(name)
		if err != nil || strings.HasSuffix(name, "_test.go") {
			continue
		}
		for _, m := range call.FindAllStringSubmatch(string(b), -1) {
			args, known := table[m[1]]
			if !known {
				t.Errorf("%s: %s has no sentence", name, m[1])
			}
			found[m[1]] = true
			for _, a := range regexp.MustCompile(`, "([a-z0-9_]+)", `).FindAllStringSubmatch(m[2], -1) {
				if !slices.Contains(args, a[1]) {
					t.Errorf("%s: %s has no argument %s", name, m[1], a[1])
				}
			}
		}
	}
	if len(found) < 20 {
		t.Errorf("%d codes found in the source (want at least 20)", len(found))
	}
}

// TestVerifyKeepsNoBytes: what was found of a file stays the same when its bytes, and
// those of what is verified after it, are written over: whoever reads many files reads
// them into the same memory.
func TestVerifyKeepsNoBytes(t *testing.T) {
	r, other := recordsOf(t, "planetarium")[0], recordsOf(t, "over-rear-axle")[0]
	pdf := signedBy(t, summaryOf(t, r), yard())
	forged := func(old, new string) []byte { return bytes.Replace(pdf, []byte(old), []byte(new), 1) }
	whole := func(v *Verification) string {
		line := []byte("none")
		if v.Record != nil {
			var err error
			if line, err = record.Line(nil, v.Record); err != nil {
				t.Fatal(err)
			}
		}
		return fmt.Sprintf("%s\n%+v\n%+v\n%s\n%s", said(v), v.Findings, v.Signers, v.SHA256, line)
	}
	for name, b := range map[string][]byte{
		"sound": pdf, "a key of the catalog": forged("/Lang (", "/Lung ("), "a name": forged("/Lang", "/L#61ng"), "the producer": forged("%PDF-1.7", "%PDF-1.6"),
		"a form": forged("name,address", "Name,address"), "a half": pdf[:len(pdf)/2], "no PDF": []byte("%PDE"),
	} {
		b = bytes.Clone(b)
		v := Verify(b, nil)
		before := whole(v)
		if name == "sound" && !strings.Contains(before, r.Record.Outfit.Vehicle) {
			t.Errorf("the record of a sound file is %s", before)
		}
		released := Verify(b, nil)
		released.Release()
		alone := whole(released)
		for i := range b {
			b[i] = 'x'
		}
		for range 3 {
			Verify(summaryOf(t, other), nil).Release()
		}
		if after := whole(v); after != before {
			t.Errorf("%s:\n%s\nand then\n%s", name, before, after)
		}
		if after := whole(released); after != alone || !strings.HasPrefix(before, strings.TrimSuffix(alone, "none")) {
			t.Errorf("%s, released:\n%s\nand then\n%s", name, alone, after)
		}
	}
}
