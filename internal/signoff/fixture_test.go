package signoff

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"github.com/jung-kurt/gofpdf"

	"reconcile/internal/study"
)

// when is the time at which the tests sign.
var when = time.Date(2026, 3, 7, 9, 30, 0, 0, time.UTC)

// attached are the files in every test summary; eleven, so that a name tree
// in the order of writing would not be sorted.
func attached() []Attachment {
	out := []Attachment{{"tickets.csv", []byte("ticket,reading\n1,2480\n")}, {"record.json", []byte("{\"schema\":\"x\"}\n")}}
	for i := range 9 {
		out = append(out, Attachment{fmt.Sprintf("copy-%d ž.jpg", i), bytes.Repeat([]byte{byte(i), 0xff}, 100*i)})
	}
	return out
}

// drawn draws a summary of two pages with headline on the first, in the form
// that pdfout gives a file.
func drawn(t testing.TB, headline string, files []Attachment) []byte {
	t.Helper()
	f := gofpdf.New("P", "pt", "A4", "")
	f.SetCatalogSort(true)
	f.SetCreationDate(when)
	f.SetModificationDate(when)
	f.SetTitle("Zhrnutie – summary", true)
	f.AddUTF8FontFromBytes("sans", "", bytes.Clone(liberationsansregular.TTF))
	f.SetFont("sans", "", 11)
	for _, line := range []string{headline, "front axle 1482 ± 11 kg (rated 1500)"} {
		f.AddPage()
		f.Rect(20, 40, 60, 10, "D")
		f.Text(20, 30, line)
	}
	var w bytes.Buffer
	if err := f.Output(&w); err != nil {
		t.Fatal(err)
	}
	return arranged(t, w.Bytes(), files)
}

// sortedFiles are files in the order of their names.
func sortedFiles(files []Attachment) []Attachment {
	files = slices.Clone(files)
	slices.SortFunc(files, func(a, b Attachment) int { return strings.Compare(a.Name, b.Name) })
	return files
}

// arranged splits what gofpdf wrote, attaches files, and writes it again.
func arranged(t testing.TB, pdf []byte, files []Attachment) []byte {
	t.Helper()
	r, err := newLenient(pdf)
	if err != nil {
		t.Fatal(err)
	}
	objects := make([]any, len(r.places))
	for n := 1; n < len(objects); n++ {
		if objects[n], err = r.object(n); err != nil {
			t.Fatal(err)
		}
	}
	root, info := r.trailer.get("Root").(ref).num, r.trailer.get("Info").(ref).num
	files = sortedFiles(files)
	list, all := array{}, array{}
	for _, a := range files {
		n := len(objects)
		var packed bytes.Buffer
		z := zlib.NewWriter(&packed)
		z.Write(a.Bytes)
		z.Close()
		objects = append(objects, stream{n, dict{{"Type", name("EmbeddedFile")}, {"Filter", name("FlateDecode")}}, packed.Bytes()},
			dict{{"Type", name("Filespec")}, {"F", text(asciiName(a.Name))}, {"UF", words(a.Name)}, {"EF", dict{{"F", ref{num: n}}, {"UF", ref{num: n}}}}})
		list, all = append(list, words(a.Name), ref{num: n + 1}), append(all, ref{num: n + 1})
	}
	objects[root] = dict{{"Type", name("Catalog")}, {"Pages", ref{num: 1}}, {"Names", dict{{"EmbeddedFiles", dict{{"Names", list}}}}}, {"AF", all}}
	return assembled(root, info, objects)
}

// finished is a summary with its /ID filled in, drawn once.
func finished(t testing.TB) []byte {
	t.Helper()
	oneFinished.Do(func() { finishedBytes = finish(t, drawn(t, "do now: nothing", attached())) })
	return bytes.Clone(finishedBytes)
}

var (
	oneFinished   sync.Once
	finishedBytes []byte
)

func finish(t testing.TB, pdf []byte) []byte {
	t.Helper()
	sum, err := FillID(pdf)
	if err != nil {
		t.Fatal(err)
	}
	if want := fmt.Sprintf("%x", sha256.Sum256(pdf)); sum != want {
		t.Fatalf("the finished file has the SHA-256 %s, not %s", want, sum)
	}
	return pdf
}

// seeded is a repeatable source for keys in tests.
func seeded(seed string) io.Reader { return rand.NewChaCha8(sha256.Sum256([]byte(seed))) }

var keys sync.Map

// madeKey makes a key once a name and test run.
func madeKey(t testing.TB, name string) *keyFiles {
	t.Helper()
	if k, ok := keys.Load(name); ok {
		return k.(*keyFiles)
	}
	k, err := NewKey(name, when.AddDate(0, -1, 0), "päss wörd", seeded(name))
	if err != nil {
		t.Fatal(err)
	}
	keys.Store(name, k)
	return k
}

var signers sync.Map

func madeSigner(t testing.TB, name string) *SigningKey {
	t.Helper()
	if s, ok := signers.Load(name); ok {
		return s.(*SigningKey)
	}
	s, err := LoadSigningKey(madeKey(t, name).P12, "päss wörd")
	if err != nil {
		t.Fatal(err)
	}
	signers.Store(name, s)
	return s
}

func signed(t testing.TB, pdf []byte, s *SigningKey, at time.Time) []byte {
	t.Helper()
	out, err := signSaying(pdf, s, claims{when: at, reason: "weighed and reconciled", location: "Žilina"})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// weigher and owner are the two signers of the tests.
const (
	weigher = "Ján Kováč (weigher)"
	owner   = "Zoë Ωμέγα"
)

// twice is a summary signed by the weigher, then by the owner.
func twice(t testing.TB) []byte {
	return signed(t, signed(t, finished(t), madeSigner(t, weigher), when), madeSigner(t, owner), when.Add(time.Hour))
}

// tool runs a program of others and returns all it says. Missing: a failure
// in CI, else the test is skipped.
func tool(t *testing.T, name string, args ...string) (string, error) {
	t.Helper()
	out, err := exec.Command(study.Tool(t, name), args...).CombinedOutput()
	return string(out), err
}

// run is tool for a program that must succeed.
func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := tool(t, name, args...)
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return out
}

// file writes b to a file of its own.
func file(t *testing.T, name string, b []byte) string {
	t.Helper()
	p := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(p, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return p
}

// why is the code of the first finding that is not sound; "" for none.
func why(e *examination) string {
	for _, f := range e.Findings {
		if f.Status == unsound {
			return f.Code
		}
	}
	return ""
}
