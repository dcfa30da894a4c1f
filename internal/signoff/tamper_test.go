package signoff

import (
	"bytes"
	"crypto"
	"crypto/rsa"
	"crypto/sha256"
	"crypto/x509"
	"encoding/hex"
	"fmt"
	"math/big"
	"reflect"
	"slices"
	"testing"
	"time"

	"reconcile/internal/study"
)

// found reports whether a changed file is found out: not sound, or, where
// the first five bytes are hit, not read at all.
func found(t *testing.T, pdf []byte, trust *SigningKey) bool {
	t.Helper()
	e, err := Examine(pdf, trust.chain)
	if err != nil {
		return !bytes.HasPrefix(pdf, []byte("%PDF-"))
	}
	return !e.Sound
}

// Bytes spread over three files, one in some dozens, or one in some hundreds in a
// plain run.
func TestTamperSweep(t *testing.T) {
	total, far := 0, study.Size(1, 5, 10)
	for _, c := range []struct {
		name string
		pdf  []byte
		step int
	}{
		{"unsigned", finished(t), 13},
		{"signed with ECDSA, twice", twice(t), 17},
		{"signed with RSA", signed(t, finished(t), rsaSigner(t), when), 29},
	} {
		for i := 0; i < len(c.pdf); i += c.step * far {
			b := bytes.Clone(c.pdf)
			b[i] ^= 1 << (i / c.step % 8)
			if total++; !found(t, b, madeSigner(t, weigher)) {
				t.Errorf("%s: byte %d changed from %q to %q and not found", c.name, i, c.pdf[i], b[i])
			}
		}
	}
	if least := 3000 / far; total < least {
		t.Errorf("%d bytes changed, want at least %d", total, least)
	}
	t.Logf("%d bytes changed", total)
}

// Every byte of a signature's own update, case of hex digits included (every
// fifth in a plain run): there is no byte of padding or anything else that may
// change.
func TestTamperSignature(t *testing.T) {
	pdf := signed(t, finished(t), madeSigner(t, weigher), when)
	d, _ := examined(t, pdf)
	for i := len(d.unsigned()); i < len(pdf); i += study.Size(1, 5, 20) {
		for _, flip := range []byte{0x01, 0x20} {
			b := bytes.Clone(pdf)
			b[i] ^= flip
			if !found(t, b, madeSigner(t, weigher)) {
				t.Errorf("byte %d of a signature changed from %q to %q and not found", i, pdf[i], b[i])
			}
		}
	}
}

// The few bytes an ECDSA signature may leave free hold zeros, and are no
// more than they must be.
func TestTamperRoom(t *testing.T) {
	s := madeSigner(t, weigher)
	room, err := capacity(s.chain)
	if err != nil {
		t.Fatal(err)
	}
	for at := when; ; at = at.Add(time.Second) {
		pdf := signed(t, finished(t), s, at)
		_, der := extracted(t, pdf, 0)
		if len(der) == room {
			continue // one in four leaves nothing free
		}
		end := bytes.LastIndex(pdf, []byte("> >>\nendobj\n"+fmt.Sprint(len(opened(t, pdf).objects)+1)+" 0 obj"))
		for i := end - 2*(room-len(der)); i < end; i++ {
			b := bytes.Clone(pdf)
			if b[i]++; pdf[i] != '0' || !found(t, b, s) {
				t.Errorf("byte %d of the room left changed from %q and not found", i-end, pdf[i])
			}
		}
		break
	}
	worst(t, forgedRoom(t, finished(t), s, room+1, func(*base) {}), unsound, s.Certificate)
	worst(t, forgedRoom(t, finished(t), s, room, func(*base) {}), holds, s.Certificate)
}

// What Sign would not write, written by a program that does not care.
func TestCareless(t *testing.T) {
	f := worst(t, forgedRoom(t, finished(t), madeSigner(t, weigher), maxContents+1, func(*base) {}), unsound)
	if !has(f, bytesAdded) {
		t.Errorf("%+v", f)
	}
	k, err := madeRSA()
	if err != nil {
		t.Fatal(err)
	}
	c := selfSigned(t, k, "an issuer", x509.KeyUsageCertSign)
	notTrusted(t, signed(t, finished(t), &SigningKey{Certificate: c, key: k, chain: []*x509.Certificate{c}}, when), notForSigning, c)
	if huge := (&rsa.PublicKey{N: new(big.Int).Lsh(big.NewInt(1), maxRSABits), E: 3}); usableSize(&x509.Certificate{PublicKey: huge}) {
		t.Error("a key of 8193 bits is computed with")
	}
}

// Cut anywhere, a file is found out, except exactly where a signature began:
// what is left there is what was signed, intact.
func TestTruncation(t *testing.T) {
	pdf := twice(t)
	d, _ := examined(t, pdf)
	sigs := d.signatures()
	cuts := []int{0, 1, 4, 5, 9, 10, len(pdf) - 1, len(pdf) - 2, len(pdf) - 7,
		sigs[0].Start - 1, sigs[0].Start + 1, sigs[1].Start - 1, sigs[1].Start + 1}
	for i := 1; i < 120; i++ {
		cuts = append(cuts, i*len(pdf)/120)
	}
	for _, n := range cuts {
		if !found(t, pdf[:n:n], madeSigner(t, weigher)) {
			t.Errorf("cut to %d of %d bytes and not found", n, len(pdf))
		}
	}
	if len(cuts) != 132 {
		t.Errorf("%d cuts, want 132", len(cuts))
	}
	worst(t, pdf[:sigs[0].Start], notChecked)
	worst(t, pdf[:sigs[1].Start], holds, madeSigner(t, weigher).Certificate)
}

// appended adds an update to pdf that replaces objects, as any editor does.
func appended(t *testing.T, pdf []byte, objects map[int]string) []byte {
	t.Helper()
	d, err := open(pdf)
	if err != nil {
		t.Fatal(err)
	}
	last := d.revisions[len(d.revisions)-1]
	w := &appender{start: len(pdf), offsets: map[int]int{}}
	size := len(d.objects) + 51 // as appendedPage numbers its page
	for n, body := range objects {
		w.open(n)
		w.WriteString(body + "\nendobj\n")
	}
	b, err := d.base()
	if err != nil {
		t.Fatal(err)
	}
	w.table(b, size, last.xref)
	return append(bytes.Clone(pdf), w.Bytes()...)
}

func TestAppendedUpdate(t *testing.T) {
	for name, pdf := range map[string][]byte{"unsigned": finished(t), "signed": signed(t, finished(t), madeSigner(t, weigher), when), "countersigned": twice(t)} {
		d, _ := examined(t, pdf)
		pages, _ := d.pages()
		changed := d.appendedPage(t, pdf, pages)
		run(t, "qpdf", "--check", file(t, "x.pdf", changed)) // a reader would show it
		f := worst(t, changed, unsound, madeSigner(t, weigher).Certificate, madeSigner(t, owner).Certificate)
		if !has(f, bytesAdded) {
			t.Errorf("%s: %+v", name, f)
		}
		// A signature on top does not heal it, and is not given.
		if _, err := Sign(changed, madeSigner(t, owner), when, ""); err == nil {
			t.Errorf("%s: a changed file was signed", name)
		}
	}
}

func (d *Document) appendedPage(t *testing.T, pdf []byte, pages []page) []byte {
	t.Helper()
	n := len(d.objects) + 50
	tree, _ := pages[0].dict.get("Parent").(ref)
	root, err := d.dict(tree, "page tree")
	if err != nil {
		t.Fatal(err)
	}
	kids, _ := root.get("Kids").(array)
	var node bytes.Buffer
	write(&node, root.with("Kids", append(kids, ref{num: n})).with("Count", number(fmt.Sprint(len(kids)+1))))
	return appended(t, pdf, map[int]string{
		tree.num: node.String(),
		n:        fmt.Sprintf("<< /Type /Page /Parent %d 0 R /MediaBox [0 0 100 100] >>", tree.num),
	})
}

// has says whether a finding of the code is there, with an argument where one is
// given as key and value.
func has(findings []Finding, code string, arg ...any) bool {
	return slices.ContainsFunc(findings, func(f Finding) bool {
		return f.Code == code && (len(arg) == 0 || reflect.DeepEqual(f.arg(arg[0].(string)), arg[1]))
	})
}

// forged is pdf countersigned by s with an update that does more.
func forged(t *testing.T, pdf []byte, s *SigningKey, tamper func(*base)) []byte {
	t.Helper()
	room, err := capacity(s.chain)
	if err != nil {
		t.Fatal(err)
	}
	return forgedRoom(t, pdf, s, room, tamper)
}

// forgedRoom is forged with that much room for the signature.
func forgedRoom(t *testing.T, pdf []byte, s *SigningKey, room int, tamper func(*base)) []byte {
	t.Helper()
	d, _ := examined(t, pdf)
	b, err := d.base()
	if err != nil {
		t.Fatal(err)
	}
	tamper(b)
	n := len(d.revisions)
	u := b.update(d.revisions[n-1], n, claims{when: when, name: s.Name}, make([]byte, room))
	out, err := u.seal(pdf, s)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// A signer, even one trusted, adds a signature and nothing else with it.
func TestMoreThanASignature(t *testing.T) {
	pdf := signed(t, finished(t), madeSigner(t, weigher), when)
	forger := madeSigner(t, owner)
	trust := append(slices.Clone(madeSigner(t, weigher).chain), forger.chain...)
	if !bytes.Equal(forged(t, pdf, forger, func(*base) {}), must(Sign(pdf, forger, when, ""))) {
		t.Fatal("the forger's update is not made as a signature is")
	}
	for name, tamper := range map[string]func(*base){
		"another page":  func(b *base) { b.first = b.first.with("Contents", ref{num: 27}) },
		"an annotation": func(b *base) { b.annots = append(b.annots, ref{num: 30}) },
		"an action":     func(b *base) { b.root = b.root.with("OpenAction", dict{{"S", name_}}) },
		"another title": func(b *base) { b.info = 3 },
		"more objects":  func(b *base) { b.id += "> /Size 999 /X <" },
	} {
		f := worst(t, forged(t, pdf, forger, tamper), unsound, trust...)
		if !has(f, signatureMore, "signature", 2) || !has(f, signatureIntact, "signature", 1) {
			t.Errorf("%s: %+v", name, f)
		}
	}
}

const name_ = name("JavaScript")

func must(b []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return b
}

// A forger takes the signature away, changes the file and signs it with a
// key made in the owner's name: sound, but never the owner's.
func TestForgedInTheOwnersName(t *testing.T) {
	k, err := NewKey(owner, when.AddDate(0, -1, 0), "pw", seeded("forger"))
	if err != nil {
		t.Fatal(err)
	}
	forger, err := LoadSigningKey(k.P12, "pw")
	if err != nil {
		t.Fatal(err)
	}
	pdf := signed(t, finish(t, drawn(t, "do now: carry on", attached())), forger, when)
	real := certificates(t, madeKey(t, owner).PEM)
	f := worst(t, pdf, notChecked, append(real, madeSigner(t, owner).Certificate)...)
	if !has(f, signerNotTrusted, "why", []string{notAmongGiven}) {
		t.Errorf("%+v", f)
	}
	// The forger also carries the owner's own certificates in the signature.
	dressed := &SigningKey{key: forger.key, Certificate: forger.Certificate, chain: []*x509.Certificate{forger.Certificate, real[0]}}
	worst(t, signed(t, finished(t), dressed, when), unsound, real...)
	// … or names the owner's certificate as the signer's.
	worst(t, unchecked(t, finished(t), &SigningKey{key: forger.key, Certificate: madeSigner(t, owner).Certificate, chain: madeSigner(t, owner).chain}), unsound, real...)
}

// unchecked signs without looking whether key and certificate fit.
func unchecked(t *testing.T, pdf []byte, s *SigningKey) []byte {
	t.Helper()
	d, _ := examined(t, pdf)
	room, err := capacity(s.chain)
	if err != nil {
		t.Fatal(err)
	}
	u, err := d.update(1, claims{when: when, name: s.Name}, make([]byte, room))
	if err != nil {
		t.Fatal(err)
	}
	whole := append(bytes.Clone(pdf), u.bytes...)
	digest := u.digest(whole)
	tbs, err := toBeSigned(s.chain, digest)
	if err != nil {
		t.Fatal(err)
	}
	h := sha256.Sum256(tbs)
	sig, err := s.key.Sign(nil, h[:], crypto.SHA256)
	if err != nil {
		t.Fatal(err)
	}
	der, err := cmsSignature{chain: s.chain, digest: digest, signature: sig}.marshal()
	if err != nil {
		t.Fatal(err)
	}
	hex.Encode(whole[u.gapStart+1:], der)
	return whole
}

// A signature taken from one file and put on another of the same length.
func TestSignatureOfAnotherFile(t *testing.T) {
	s := madeSigner(t, weigher)
	a := finished(t)
	b := finish(t, bytes.Replace(a, []byte(hex.EncodeToString([]byte("D:20260307"))), []byte(hex.EncodeToString([]byte("D:20260308"))), 1))
	if len(a) != len(b) || bytes.Equal(a, b) {
		t.Fatal("want two files that differ in one byte")
	}
	sa, sb := signed(t, a, s, when), signed(t, b, s, when)
	worst(t, append(bytes.Clone(b), sa[len(a):]...), unsound, s.Certificate)
	// The contents alone moved over.
	_, der := extracted(t, sa, 0)
	at := bytes.LastIndex(sb, []byte("/Contents <")) + len("/Contents <")
	moved := bytes.Clone(sb)
	hex.Encode(moved[at:], der)
	f := worst(t, moved, unsound, s.Certificate)
	if !has(f, signatureChanged, "signature", 1) {
		t.Errorf("%+v", f)
	}
}

// An attachment replaced by another of the same length, the hash in /ID
// recomputed, as anyone can who knows the rule.
func TestAttachmentReplaced(t *testing.T) {
	files := attached()
	files[0].Bytes = bytes.Replace(files[0].Bytes, []byte("2480"), []byte("2048"), 1)
	other := finish(t, drawn(t, "do now: nothing", files))
	worst(t, other, notChecked) // nothing but the record can tell
	pdf := signed(t, finished(t), madeSigner(t, weigher), when)
	d, _ := examined(t, pdf)
	worst(t, append(bytes.Clone(other), pdf[len(d.unsigned()):]...), unsound, madeSigner(t, weigher).Certificate)
}
