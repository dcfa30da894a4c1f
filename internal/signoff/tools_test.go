package signoff

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// What programs of others say of the files: structure, signatures, trust.

func TestQPDF(t *testing.T) {
	base := finished(t)
	one := signed(t, base, madeSigner(t, weigher), when)
	for name, pdf := range map[string][]byte{"unsigned": base, "signed": one, "countersigned": twice(t),
		"by RSA": signed(t, one, rsaSigner(t), when)} {
		out := run(t, "qpdf", "--check", file(t, "x.pdf", pdf))
		if !strings.Contains(out, "No syntax or stream encoding errors") || strings.Contains(out, "WARNING") {
			t.Errorf("%s: %s", name, out)
		}
	}
}

// pdfsig's exit status says nothing of a bad signature: its text does.
func pdfsig(t *testing.T, pdf []byte, args ...string) []string {
	t.Helper()
	out, err := tool(t, "pdfsig", append(args, file(t, "x.pdf", pdf))...)
	parts := strings.Split(out, "Signature #")[1:]
	if len(parts) == 0 {
		t.Fatalf("pdfsig finds no signature: %v\n%s", err, out)
	}
	return parts
}

func holdsAll(t *testing.T, text string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("no %q in:\n%s", w, text)
		}
	}
}

func TestPdfsig(t *testing.T) {
	const valid, total = "Signature Validation: Signature is Valid.", "- Total document signed"
	for _, pdf := range [][]byte{
		twice(t),
		signed(t, signed(t, finished(t), rsaSigner(t), when), madeSigner(t, owner), when),
		signed(t, signed(t, finished(t), madeSigner(t, owner), when), rsaSigner(t), when),
	} {
		parts := pdfsig(t, pdf, "-nocert")
		if len(parts) != 2 {
			t.Fatalf("%d signatures, want 2", len(parts))
		}
		holdsAll(t, parts[0], valid, "Not total document signed", "ETSI.CAdES.detached", "SHA-256")
		holdsAll(t, parts[1], valid, total, "ETSI.CAdES.detached", "SHA-256")
	}
	holdsAll(t, pdfsig(t, twice(t), "-nocert")[0], "Common Name: "+weigher, "Mar 07 2026 09:30:00")
	bad := twice(t)
	bad[5000] ^= 1
	holdsAll(t, pdfsig(t, bad, "-nocert")[1], "Digest Mismatch")
}

// The certificate handed out is enough for a reader with a store of its own.
func TestTrustedInNSS(t *testing.T) {
	// NSS judges at the present time, so this key is made now.
	now := time.Now().Add(-time.Hour)
	k, err := NewKey(weigher, now, "pw", seeded("nss"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := LoadSigningKey(k.P12, "pw")
	if err != nil {
		t.Fatal(err)
	}
	pdf := signed(t, finished(t), s, now)
	db := "sql:" + t.TempDir()
	run(t, "certutil", "-N", "-d", db, "--empty-password")
	if out := pdfsig(t, pdf, "-nssdir", db)[0]; strings.Contains(out, "Certificate is Trusted") {
		t.Errorf("trusted before the certificate was given: %s", out)
	}
	run(t, "certutil", "-A", "-d", db, "-n", "yard", "-t", "CT,C,C", "-i", file(t, "ca.pem", k.PEM))
	holdsAll(t, pdfsig(t, pdf, "-nssdir", db)[0], "Certificate is Trusted", "Signature is Valid")
}

// openssl verifies the extracted signature over the extracted bytes, with
// -cades also the signing-certificate-v2 attribute.
func TestOpenSSLVerifies(t *testing.T) {
	pdf := signed(t, twice(t), rsaSigner(t), when)
	rsaPEM := run(t, "openssl", "x509", "-inform", "DER", "-in", file(t, "rsa.der", rsaSigner(t).Certificate.Raw))
	for n, ca := range [][]byte{madeKey(t, weigher).PEM, madeKey(t, owner).PEM, []byte(rsaPEM)} {
		content, der := extracted(t, pdf, n)
		verify := func(content []byte) (string, error) {
			return tool(t, "openssl", "cms", "-verify", "-binary", "-cades", "-inform", "DER", "-purpose", "any",
				"-in", file(t, "sig.der", der), "-content", file(t, "content", content), "-CAfile", file(t, "ca.pem", ca),
				"-attime", fmt.Sprint(when.Unix()), "-out", os.DevNull)
		}
		if out, err := verify(content); err != nil || !strings.Contains(out, "CAdES Verification successful") {
			t.Errorf("signature %d: %v %s", n+1, err, out)
		}
		content[100] ^= 1
		if out, err := verify(content); err == nil {
			t.Errorf("signature %d over changed bytes: %s", n+1, out)
		}
	}
}

// No signing-time attribute: PAdES baseline says the time in /M alone.
func TestAttributes(t *testing.T) {
	_, der := extracted(t, twice(t), 0)
	out := run(t, "openssl", "cms", "-cmsout", "-print", "-inform", "DER", "-in", file(t, "sig.der", der))
	holdsAll(t, out, "contentType", "messageDigest", "signingCertificateV2")
	if !regexp.MustCompile(`unsignedAttrs:\s+<ABSENT>`).MatchString(out) {
		t.Error("unsigned attributes")
	}
	if strings.Contains(out, "signingTime") {
		t.Errorf("a signing time:\n%s", out)
	}
}

func TestPdfdetach(t *testing.T) {
	dir := t.TempDir()
	run(t, "pdfdetach", "-saveall", "-o", dir, file(t, "x.pdf", twice(t)))
	d, _ := examined(t, twice(t))
	files, err := d.attachments()
	if err != nil || len(files) != len(attached()) {
		t.Fatalf("%d attachments, want %d: %v", len(files), len(attached()), err)
	}
	for i, a := range files {
		b, err := os.ReadFile(filepath.Join(dir, a.Name))
		if err != nil || !bytes.Equal(b, a.Bytes) {
			t.Errorf("%s: pdfdetach gives other bytes: %v", a.Name, err)
		}
		if want := sortedFiles(attached())[i]; a.Name != want.Name || !bytes.Equal(a.Bytes, want.Bytes) {
			t.Errorf("attachment %d is not what was attached: %q", i+1, a.Name)
		}
	}
}

// A key made here opens in openssl, and not with another password.
func TestOpenSSLReadsKey(t *testing.T) {
	p := file(t, "k.p12", madeKey(t, weigher).P12)
	out := run(t, "openssl", "pkcs12", "-in", p, "-passin", "pass:päss wörd", "-nodes", "-info")
	holdsAll(t, out, "PBES2", "Iteration 200000", "PRIVATE KEY")
	if out, err := tool(t, "openssl", "pkcs12", "-in", p, "-passin", "pass:pass word", "-nodes"); err == nil {
		t.Errorf("opened with another password: %s", out)
	}
}
