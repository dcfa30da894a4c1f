package signoff

import (
	"bytes"
	"crypto/sha256"
	"crypto/x509"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"
)

// notToBeSigned says why a file must not be signed: it is not what was finished,
// or a signature on it does not hold.
func notToBeSigned(findings []Finding) error {
	var lines []string
	for _, f := range findings {
		if f.Status == unsound {
			lines = append(lines, f.Error())
		}
	}
	return errors.New("not signed: " + strings.Join(lines, "; "))
}

// Sign appends a signature over all of pdf: the bytes given stay the
// beginning of the result, so that signatures already there stay valid. The time
// is the signer's word, to the second; the reason is what the signature is given
// for. The same arguments give the same bytes.
//
// Refused: a file that [Examine] finds unsound, a certificate not valid at that
// time, text that is not UTF-8, a seventeenth signature. A key that verifying
// would not trust is refused by [LoadSigningKey].
func Sign(pdf []byte, s *SigningKey, when time.Time, reason string) ([]byte, error) {
	return signSaying(pdf, s, claims{when: when, reason: reason})
}

// signSaying is [Sign] with all that a signature can say; without a name it says
// the one in the certificate.
func signSaying(pdf []byte, s *SigningKey, c claims) ([]byte, error) {
	e, err := examine(pdf, nil)
	if err != nil {
		return nil, err
	}
	d := e.Document
	if !e.Sound {
		return nil, notToBeSigned(e.Findings)
	}
	if len(d.revisions) > maxSignatures {
		return nil, fmt.Errorf("the file has %d signatures, and no more are added", maxSignatures)
	}
	if err := c.check(s.Certificate); err != nil {
		return nil, err
	}
	room, err := capacity(s.chain)
	if err != nil {
		return nil, err
	}
	u, err := d.update(len(d.revisions), c, make([]byte, room))
	if err != nil {
		return nil, err
	}
	return u.seal(pdf, s)
}

// seal appends the update to pdf and fills its gap with s's signature.
func (u *update) seal(pdf []byte, s *SigningKey) ([]byte, error) {
	whole := slices.Concat(pdf, u.bytes)
	der, err := s.sign(u.digest(whole))
	if err != nil {
		return nil, err
	}
	hex.Encode(whole[u.gapStart+1:], der)
	return whole, nil
}

// check completes what is about to be said, and checks it against the
// certificate.
func (c *claims) check(by *x509.Certificate) error {
	c.when = c.when.UTC().Truncate(time.Second)
	if c.name == "" {
		c.name = called(by)
	}
	if err := validAt(by, c.when); err != nil {
		return err
	}
	for _, t := range []string{c.name, c.reason, c.location} {
		if !utf8.ValidString(t) {
			return fmt.Errorf("%q is not UTF-8", t)
		}
	}
	return nil
}

// validAt reports that c is not valid at t.
func validAt(c *x509.Certificate, t time.Time) error {
	const day = time.DateOnly + " 15:04 MST"
	if t.Before(c.NotBefore) || t.After(c.NotAfter) {
		return fmt.Errorf("the certificate of %q is valid from %s to %s, not at %s", called(c),
			c.NotBefore.UTC().Format(day), c.NotAfter.UTC().Format(day), t.UTC().Format(day))
	}
	return nil
}

// claims is what can be read in a signature.
type claims struct {
	when                   time.Time
	name, reason, location string
}

// stampLayout is a PDF date (ISO 32000-1, 7.9.4), always UTC.
const stampLayout = "D:20060102150405+00'00'"

// update is what one signature appends to a file.
type update struct {
	bytes            []byte
	gapStart, gapEnd int // of /Contents in the entire file, < and > included
}

// digest is the SHA-256 of the entire file without the gap.
func (u *update) digest(whole []byte) []byte {
	h := sha256.New()
	h.Write(whole[:u.gapStart])
	h.Write(whole[u.gapEnd:])
	return h.Sum(nil)
}

// update writes the n-th signature's update (from 1) with these contents.
// It depends on nothing but the finished file, the end of what is before
// it and its arguments: so it can be written again, and compared.
//
// The update holds the signature, its invisible field, and new versions of
// the first page and the catalog that name it (ISO 32000-1, 12.7 and 12.8).
func (d *Document) update(n int, c claims, contents []byte) (*update, error) {
	b, err := d.base()
	if err != nil {
		return nil, err
	}
	return b.update(d.revisions[n-1], n, c, contents), nil
}

func (b *base) update(before revision, n int, c claims, contents []byte) *update {
	w := &appender{start: before.end, offsets: map[int]int{}}
	sig := b.size + 2*(n-1)
	u := w.signature(sig, c, contents)
	w.object(sig+1, dict{
		{"Type", name("Annot")}, {"Subtype", name("Widget")}, {"FT", name("Sig")},
		{"T", words(fmt.Sprintf("Signature%d", n))}, {"V", ref{num: sig}}, {"P", ref{num: b.page}},
		{"Rect", array{number("0"), number("0"), number("0"), number("0")}}, {"F", number("132")}, // print, locked
	})
	fields := array{}
	for i := range n {
		fields = append(fields, ref{num: b.size + 2*i + 1})
	}
	w.object(b.page, b.first.with("Annots", append(slices.Clone(b.annots), fields...)))
	w.object(b.rootNum, b.root.with("AcroForm", dict{{"Fields", fields}, {"SigFlags", number("3")}}))
	w.table(b, sig+2, before.xref)
	u.bytes = w.Bytes()
	w.fillRange(u, before.end+len(u.bytes))
	return u
}

// base is what an update needs to know of the finished file.
type base struct {
	size       int
	root       dict
	rootNum    int
	info, page int // of the first page
	first      dict
	annots     array
	id         string
}

func (d *Document) base() (*base, error) {
	b := &base{size: len(d.objects), root: d.catalog(), rootNum: d.root, info: d.info, id: d.id()}
	pages, err := d.pages()
	if err != nil {
		return nil, err
	}
	b.page, b.first = pages[0].num, pages[0].dict
	if v := b.first.get("Annots"); v != nil {
		if b.annots, err = d.array(v, "list of annotations"); err != nil {
			return nil, err
		}
	}
	if b.page == b.rootNum || b.page == 0 {
		return nil, damaged(formFields)
	}
	return b, nil
}

// appender writes objects after byte start and remembers where.
type appender struct {
	bytes.Buffer
	start   int
	offsets map[int]int
	rangeAt int // where the byte range goes
}

func (w *appender) open(num int) {
	w.offsets[num] = w.start + w.Len()
	fmt.Fprintf(w, "%d 0 obj\n", num)
}

func (w *appender) object(num int, v any) {
	w.open(num)
	write(&w.Buffer, v)
	w.WriteString("\nendobj\n")
}

// rangeSize is the room for the byte range: four numbers of ten digits.
const rangeSize = 4*10 + 3

// signature writes the signature dictionary, /Contents last.
func (w *appender) signature(num int, c claims, contents []byte) *update {
	w.open(num)
	w.WriteString("<< /Type /Sig /Filter /Adobe.PPKLite /SubFilter /ETSI.CAdES.detached /ByteRange [")
	w.rangeAt = w.Len()
	w.WriteString(strings.Repeat(" ", rangeSize))
	fmt.Fprintf(w, "] /M (%s)", c.when.Format(stampLayout))
	for _, e := range (dict{{"Name", words(c.name)}, {"Reason", words(c.reason)}, {"Location", words(c.location)}}) {
		if e.value != words("") {
			w.WriteByte(' ')
			write(&w.Buffer, e.key)
			w.WriteByte(' ')
			write(&w.Buffer, e.value)
		}
	}
	w.WriteString(" /Contents ")
	u := &update{gapStart: w.start + w.Len()}
	fmt.Fprintf(w, "<%x>", contents)
	u.gapEnd = w.start + w.Len()
	w.WriteString(" >>\nendobj\n")
	return u
}

// fillRange writes the byte range: all of the file but the gap.
func (w *appender) fillRange(u *update, end int) {
	copy(u.bytes[w.rangeAt:], fmt.Sprintf("0 %d %d %d", u.gapStart, u.gapEnd, end-u.gapEnd))
}

// table writes the cross-reference table of the objects written, the trailer
// and the end mark.
func (w *appender) table(b *base, size, prev int) {
	at := w.start + w.Len()
	nums := make([]int, 0, len(w.offsets))
	for n := range w.offsets {
		nums = append(nums, n)
	}
	slices.Sort(nums)
	w.WriteString("xref\n")
	for _, n := range nums {
		fmt.Fprintf(w, "%d 1\n%010d 00000 n \n", n, w.offsets[n])
	}
	w.WriteString("trailer\n<< ")
	fmt.Fprintf(w, "/Size %d /Root %d 0 R /Info %d 0 R /ID [<%s><%s>] /Prev %d >>\nstartxref\n%d%s",
		size, b.rootNum, b.info, b.id, b.id, prev, at, endMark)
}
