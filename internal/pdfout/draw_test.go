package pdfout

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"

	"reconcile/internal/record"
	"reconcile/internal/study"
	"reconcile/internal/words"
)

func TestStructure(t *testing.T) {
	for name, r := range most(t) {
		t.Run(name, func(t *testing.T) {
			file, _ := drawn(t, r, record.File{Name: "tickets.csv", Bytes: []byte("ticket\n")})
			// qpdf's exit status is 3 for a mere warning: that fails too
			if out := tool(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors found") {
				t.Error(out)
			}
		})
	}
}

func TestPDFInfo(t *testing.T) {
	eachExample(t, func(t *testing.T, r *record.Record) {
		file, _ := drawn(t, r)
		out := tool(t, "pdfinfo", "-isodates", file)
		size := map[string]string{"a4": `595\.\d+ x 841\.\d+ pts`, "letter": `612 x 792 pts`}[r.Options.Paper] // ISO 216; ANSI
		for _, want := range []string{`PDF version:\s+1\.7`, `Metadata Stream:\s+yes`, `Title:\s+Weighing summary · .*` + regexp.QuoteMeta(r.Job),
			`Tagged:\s+yes`, `Encrypted:\s+no`, `Page size:\s+` + size, `CreationDate:\s+2026-03-16T00:00:00Z`, `ModDate:\s+2026-03-16T00:00:00Z`} {
			if !regexp.MustCompile(want).MatchString(out) {
				t.Errorf("pdfinfo lacks %s:\n%s", want, out)
			}
		}
	})
}

func TestCatalog(t *testing.T) {
	_, pdf := drawn(t, example(t, "within"))
	for _, want := range []string{"%PDF-1.7\n", "/Lang (en-AU)", "/DisplayDocTitle true", "/Metadata ", "/Outlines ", "/AF [", "/AFRelationship /Data"} {
		if !bytes.Contains(pdf, []byte(want)) {
			t.Errorf("the file lacks %q", want)
		}
	}
	if bytes.Contains(pdf, []byte("BT ")) {
		t.Error("the pages are not compressed")
	}
	end := regexp.MustCompile(`/ID \[<0{64}><0{64}>\]\n>>\nstartxref\n\d+\n%%EOF\n$`)
	if !end.Match(pdf) {
		t.Errorf("the file ends %q", pdf[len(pdf)-200:])
	}
}

// TestOutline reads the outline and where its entries lead.
func TestOutline(t *testing.T) {
	file, _ := drawn(t, example(t, "within"))
	var doc struct {
		Outlines []struct {
			Title string
			Page  int `json:"destpageposfrom1"`
		}
	}
	if err := json.Unmarshal([]byte(tool(t, "qpdf", "--json=1", "--json-key=outlines", file)), &doc); err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(tool(t, "pdftotext", "-raw", file, "-"), "\f")
	found := map[string]bool{}
	for _, o := range doc.Outlines {
		found[o.Title] = true
		if o.Title != "Result" && (o.Page < 1 || o.Page > len(pages) || !strings.Contains(pages[o.Page-1], o.Title)) {
			t.Errorf("%q leads to page %d, where it is not", o.Title, o.Page)
		}
	}
	for _, want := range []string{"Result", "Every load and every rating", "Method", "Sign-off"} {
		if !found[want] {
			t.Errorf("the outline lacks %q: %v", want, found)
		}
	}
}

func TestDates(t *testing.T) {
	r := example(t, "within")
	r.Options.Issued = ""
	if got := dated(r).Format("2006-01-02 15:04"); got != "2026-03-14 09:58" { // the last reading of the job
		t.Error("without --issued:", got)
	}
	for i := range r.Readings {
		r.Readings[i].WeighedAt = ""
	}
	if got := dated(r); !got.Equal(unknownDate) {
		t.Error("without any date:", got)
	}
	if _, ok := moment("15:31"); ok {
		t.Error("a time alone is taken for a date")
	}
}

func TestFontsEmbedded(t *testing.T) {
	file, _ := drawn(t, example(t, "over"))
	lines := strings.Split(strings.TrimSpace(tool(t, "pdffonts", file)), "\n")[2:]
	if len(lines) != 2 {
		t.Fatalf("%d fonts, want 2: %q", len(lines), lines)
	}
	for _, l := range lines {
		// columns of pdffonts: emb sub uni
		if !regexp.MustCompile(`^[A-Z]{6}\+LiberationSans(-Bold)?\s.* yes yes yes `).MatchString(l) {
			t.Error(l)
		}
	}
}

// TestEveryCheckIsPrinted finds the numbers of each check on one printed line,
// in the order of the columns.
func TestEveryCheckIsPrinted(t *testing.T) {
	rows := 0
	eachExample(t, func(t *testing.T, r *record.Record) {
		file, _ := drawn(t, r)
		say := words.Of(r, nil)
		text := tool(t, "pdftotext", "-layout", "-f", "2", file, "-")
		for _, said := range say.Report().Checks {
			c := said.Of
			if c.State == "coupled_tensioned" && r.Outfit.Travels == "plain" {
				continue // there is no such state
			}
			parts := []string{regexp.QuoteMeta(said.Limit), regexp.QuoteMeta(said.Value)}
			if m := said.Margin; m != "" {
				parts = append(parts, regexp.QuoteMeta(m))
			}
			want := `(?m)\s` + strings.Join(append(parts, said.Verdict), `\s.*`) + `(, assumed)?\s*$`
			if !regexp.MustCompile(want).MatchString(text) {
				t.Errorf("%s %s %s: no line with %s", c.Rating, c.On, c.State, want)
			}
			rows++
		}
	})
	if rows != 103 { // rows of the examples
		t.Errorf("%d checks, want 103", rows)
	}
}

// TestTheRecordIsWhereTheFootSays: package words names the file that is attached.
func TestTheRecordIsWhereTheFootSays(t *testing.T) {
	if made := words.Of(example(t, "within"), nil).Headline().Made; !strings.Contains(made, " attached to this file as "+RecordName+".") {
		t.Errorf("%q (want %s)", made, RecordName)
	}
}

// TestPageOne reads page 1 as a new owner does.
func TestPageOne(t *testing.T) {
	eachExample(t, func(t *testing.T, r *record.Record) {
		file, _ := drawn(t, r)
		text := strings.Join(strings.Fields(tool(t, "pdftotext", "-l", "1", "-layout", file, "-")), " ")
		raw := strings.Join(strings.Fields(tool(t, "pdftotext", "-l", "1", "-raw", file, "-")), " ")
		say := words.Of(r, nil)
		first := say.Headline()
		for _, want := range []string{first.DoNow, first.Verdict, first.Why} {
			if !strings.Contains(raw, want) {
				t.Errorf("page 1 lacks %q:\n%s", want, raw)
			}
		}
		for _, said := range say.Report().Checks {
			if c := said.Of; c.Decides && !c.Floor && !strings.Contains(text, said.Value+" "+said.Limit) {
				t.Errorf("page 1 lacks %s against %s", said.Value, said.Limit)
			}
		}
		if scaled := r.Outfit.LengthsMm.Wheelbase != nil; scaled == strings.Contains(text, "not to scale") {
			t.Errorf("lengths known: %v, page 1:\n%s", scaled, text)
		}
	})
}

// TestFeet finds the page number, the hash in figures and the square code on
// every page.
func TestFeet(t *testing.T) {
	for _, name := range []string{"within", "unsettled"} { // A4, Letter
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			feet(t, example(t, name))
		})
	}
}

// feet checks every page of one summary, the first in a plain run.
func feet(t *testing.T, r *record.Record) {
	file, pdf := drawn(t, r)
	hash := fmt.Sprintf("%X", sha256.Sum256(lineOf(t, r)))
	pages := strings.Count(string(pdf), "/Type /Page\n")
	if pages < 5 {
		t.Fatalf("%d pages", pages)
	}
	for n := 1; n <= pages; n++ {
		if n == 2 && !study.Full() {
			break // the other pages are in the study
		}
		text := tool(t, "pdftotext", "-raw", "-f", fmt.Sprint(n), "-l", fmt.Sprint(n), file, "-")
		for _, want := range []string{fmt.Sprintf("page %d of %d", n, pages), "\n" + hash + "\n", words.Of(r, nil).Headline().Title} {
			if !strings.Contains(text, want) {
				t.Errorf("page %d lacks %q", n, want)
			}
		}
		scan := filepath.Join(t.TempDir(), "page")
		tool(t, "pdftoppm", "-r", "150", "-gray", "-png", "-singlefile", "-f", fmt.Sprint(n), "-l", fmt.Sprint(n), file, scan)
		corner := filepath.Join(t.TempDir(), "corner") // what is held before the camera
		paper := papers[r.Options.Paper]
		tool(t, "pdftoppm", "-r", "150", "-gray", "-png", "-singlefile", "-f", fmt.Sprint(n), "-l", fmt.Sprint(n), "-x", fmt.Sprint(dots(paper.w-side-2*foot)), "-y", fmt.Sprint(dots(paper.h-foot-10*pt)),
			"-W", fmt.Sprint(dots(2*foot+side)), "-H", fmt.Sprint(dots(foot+10*pt)), file, corner)
		want := "SUMMARY OF WEIGHBRIDGE TICKETS. SHA-256 OF ITS RECORD: " + hash + ". FIND IT: RECONCILE VERIFY --FIND\n"
		coarse := shrunk(t, corner+".png", 150, 100) // as a cheap scanner or a copy of a copy has it
		for dpi, file := range map[int]string{150: scan + ".png", 100: coarse} {
			if got := tool(t, "zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", file); got != want {
				t.Errorf("page %d at %d dpi: the square code reads %q", n, dpi, got)
			}
		}
	}
}

// dots is a length at 150 dots per inch.
func dots(l length) int { return int(l) * 150 / 72 / pt }

// shrunk is a grey picture at fewer dots per inch, each the mean of what it
// covers of the old ones.
func shrunk(t *testing.T, file string, from, to int) string {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	m, _, err := image.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	big := image.NewGray(m.Bounds())
	draw.Draw(big, big.Rect, m, image.Point{}, draw.Src)
	// a new dot covers from/to old ones: sums of to by to parts of each
	small := image.NewGray(image.Rect(0, 0, big.Rect.Dx()*to/from, big.Rect.Dy()*to/from))
	parts := func(at int) (all [][2]int) { // old dots, and how many parts of each
		for i := at * from; i < (at+1)*from; i += to - i%to {
			all = append(all, [2]int{i / to, min(to-i%to, (at+1)*from-i)})
		}
		return all
	}
	for y := range small.Rect.Dy() {
		for x := range small.Rect.Dx() {
			sum := 0
			for _, down := range parts(y) {
				for _, right := range parts(x) {
					sum += down[1] * right[1] * int(big.Pix[big.PixOffset(right[0], down[0])])
				}
			}
			small.Pix[small.PixOffset(x, y)] = byte(sum / (from * from))
		}
	}
	var out bytes.Buffer
	if err := png.Encode(&out, small); err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), "small.png")
	if err := os.WriteFile(file, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// TestQuietZone looks at the four modules around the square code, which have
// to stay white (ISO/IEC 18004), and at its size on paper.
func TestQuietZone(t *testing.T) {
	file, _ := drawn(t, example(t, "within"))
	const dpi = 300
	at := func(l length) int { return int(l) * dpi / 72 / pt }
	a4 := papers["a4"]
	left, upper := a4.w-side-modules*module, a4.h-foot
	if wide := modules * module * 254 / 72 / 10 / pt; wide < 18 {
		t.Errorf("the code is %v mm wide, want at least 18", wide)
	}
	base := filepath.Join(t.TempDir(), "code")
	tool(t, "pdftoppm", "-r", fmt.Sprint(dpi), "-png", "-singlefile", "-l", "1", "-x", fmt.Sprint(at(left-4*module)), "-y", fmt.Sprint(at(upper-4*module)),
		"-W", fmt.Sprint(at((modules+2*quiet)*module)), "-H", fmt.Sprint(at((modules+2*quiet)*module)), file, base)
	b, err := os.ReadFile(base + ".png")
	if err != nil {
		t.Fatal(err)
	}
	m, _, err := image.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	dark := func(x, y int) bool { r, _, _, _ := m.At(x, y).RGBA(); return r < 0xC000 }
	ring, end := at(4*module)-1, m.Bounds().Dx()
	for y := range end {
		for x := range end {
			if inside := x >= ring && x < end-ring && y >= ring && y < end-ring; !inside && dark(x, y) {
				t.Fatalf("a mark at pixel %d, %d of the white margin", x, y)
			}
		}
	}
	if half := at(module / 2); !dark(ring+half, ring+half) {
		t.Error("the code does not begin where it should")
	}
}

func TestAttachments(t *testing.T) {
	for _, n := range []int{1, 9, 12} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			var files []record.File
			for i := range n {
				files = append(files, record.File{Name: fmt.Sprintf("photo %d (kopie č. %d).jpg", n-i, i), Bytes: bytes.Repeat([]byte{byte(i), 0xFF, '\r', '\n'}, 100*i)})
			}
			r := example(t, "within")
			file, pdf := drawn(t, r, files...)
			dir := t.TempDir()
			tool(t, "pdfdetach", "-saveall", "-o", dir, file)
			for _, f := range append(files, record.File{Name: RecordName, Bytes: lineOf(t, r)}) {
				got, err := os.ReadFile(filepath.Join(dir, f.Name))
				if err != nil || !bytes.Equal(got, f.Bytes) {
					t.Errorf("%s: %v, %d bytes, want %d", f.Name, err, len(got), len(f.Bytes))
				}
			}
			checkTree(t, pdf, n+1)
			if strings.Contains(string(pdf), "/F ()") {
				t.Error("an attachment has an empty /F")
			}
		})
	}
}

// checkTree wants n keys in the name tree, in the order of their bytes.
func checkTree(t *testing.T, pdf []byte, n int) {
	t.Helper()
	tree := regexp.MustCompile(`/EmbeddedFiles << /Names \[(.*?)\]`).FindSubmatch(pdf)
	if tree == nil {
		t.Fatal("no name tree")
	}
	keys := regexp.MustCompile(`<([0-9A-F]+)>`).FindAllSubmatch(tree[1], -1)
	for i := 1; i < len(keys); i++ {
		if bytes.Compare(keys[i-1][1], keys[i][1]) >= 0 {
			t.Errorf("key %s after %s", keys[i][1], keys[i-1][1])
		}
	}
	if len(keys) != n {
		t.Errorf("%d keys, want %d", len(keys), n)
	}
}

func TestAttachmentsRefused(t *testing.T) {
	r := example(t, "within")
	for _, files := range [][]record.File{{{Name: "a.csv", Bytes: nil}, {Name: "a.csv", Bytes: nil}}, {{Name: RecordName, Bytes: nil}}, {{Name: "", Bytes: nil}}} {
		if _, err := Draw(words.Of(r, nil), lineOf(t, r), files, nil); err == nil {
			t.Errorf("%q was attached", files)
		}
	}
	if _, err := Draw(nil, []byte("{}"), nil, nil); err == nil {
		t.Error("no record was drawn")
	}
	if _, err := Draw(words.Of(r, nil), nil, nil, nil); err == nil {
		t.Error("a record without its line was drawn")
	}
}

// TestSameBytes draws in parallel. Run with -race it also sees whether two
// documents share what is not theirs: the PDF library writes into what it is given.
func TestSameBytes(t *testing.T) {
	files := func() string {
		return string(liberationsansregular.TTF) + string(liberationsansbold.TTF) + string(regularPacked) + string(boldPacked)
	}
	before := files()
	defer func() {
		if files() != before {
			t.Error("drawing changed the faces of the program")
		}
	}()
	for name, r := range everything(t) {
		line := lineOf(t, r)
		files := []record.File{{Name: "b.csv", Bytes: []byte("b")}, {Name: "a.csv", Bytes: []byte("a")}}
		want, err := Draw(words.Of(r, nil), line, files, nil)
		if err != nil {
			t.Fatal(name, err)
		}
		var wg sync.WaitGroup
		for range 4 {
			wg.Go(func() {
				if got, err := Draw(words.Of(r, nil), line, files, nil); err != nil || !bytes.Equal(got, want) {
					t.Errorf("%s: other bytes in parallel (%v)", name, err)
				}
			})
		}
		wg.Wait()
	}
}

func TestManyReadings(t *testing.T) {
	file, _ := drawn(t, many(t))
	text := tool(t, "pdftotext", "-layout", file, "-")
	pages := strings.Split(text, "\f")
	with, heads := 0, 0
	for _, p := range pages {
		if strings.Contains(p, "weighed at") && strings.Contains(p, "on board") {
			with++
			heads += strings.Count(p, "reconciled,")
		}
	}
	if with < 4 || heads != with { // 60 rows of 3 lines fill more than four pages
		t.Errorf("%d pages with readings, %d heads", with, heads)
	}
	for line := 2; line < 62; line++ {
		if !regexp.MustCompile(fmt.Sprintf(`(?m)^\s*%d\s+\d+\s`, line)).MatchString(text) {
			t.Errorf("line %d is not printed", line)
		}
	}
}

// TestChanges draws the comparison with an earlier visit, with both dates.
func TestChanges(t *testing.T) {
	now, before := example(t, "within"), example(t, "over")
	for i := range before.Readings {
		before.Readings[i].WeighedAt = "2025-11-02 08:30"
	}
	say := words.Of(now, nil)
	say.Earlier = before
	pdf, err := Draw(say, lineOf(t, now), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "after.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(tool(t, "pdftotext", "-raw", file, "-")), " ")
	for _, want := range []string{say.Head("s_changes"), "2025-11-02 08:30", "2026-03-14 09:20"} {
		if !strings.Contains(text, want) {
			t.Errorf("the pages lack %q", want)
		}
	}
	if changes := say.Report().Changes.Rows; len(changes) < 10 || !strings.Contains(text, changes[3].Label+" "+changes[3].Old+" "+changes[3].New) {
		t.Errorf("%d changes, or one that is not printed", len(changes))
	}
}

// TestShort: two pages, whatever the job, and nothing of the evidence.
func TestShort(t *testing.T) {
	for name, r := range most(t) {
		if name == "nasty" || name == "empty" {
			continue // meant to fill any page
		}
		short := *r
		short.Options.Short = true
		file, _ := drawn(t, &short)
		if out := tool(t, "pdfinfo", file); !regexp.MustCompile(`Pages:\s+2\n`).MatchString(out) {
			t.Errorf("%s: not two pages:\n%s", name, out)
		}
	}
}

// TestConflictHasNoMarks: while the readings disagree no row has a verdict.
func TestConflictHasNoMarks(t *testing.T) {
	file, _ := drawn(t, example(t, "conflict"))
	text := strings.Join(strings.Fields(tool(t, "pdftotext", "-raw", "-l", "1", file, "-")), " ")
	if strings.Contains(text, "within") || !strings.Contains(text, "not to be relied on") {
		t.Errorf("page 1 of a conflict says:\n%s", text)
	}
}

// TestSignedBy: where the file is signed in the same run it says by whom, and whose
// word the time is; any other may be signed later.
func TestSignedBy(t *testing.T) {
	r := example(t, "within")
	said := func() string {
		file, _ := drawn(t, r)
		return strings.Join(strings.Fields(tool(t, "pdftotext", "-raw", "-f", "2", "-l", "2", file, "-")), " ")
	}
	const later = "If somebody signs this file, the time of signing is the signer's word."
	if text := said(); !strings.Contains(text, later) || strings.Contains(text, "signed by") {
		t.Errorf("page 2 lacks %q, or names a signer:\n%s", later, text)
	}
	r.Options.SignedBy = &record.Signer{Name: "R. Okafor", Fingerprint: strings.Repeat("AB", 32)}
	text := said()
	for _, want := range []string{"R. Okafor", "ABABABABABABABAB", "; the time of signing is the signer's word"} {
		if !strings.Contains(text, want) || strings.Contains(text, later) {
			t.Errorf("page 2 lacks %q, or says %q:\n%s", want, later, text)
		}
	}
}

// TestNothingToCompare: where no rating was given, page 1 does not say that every load
// that decides is weighed; there is none.
func TestNothingToCompare(t *testing.T) {
	all, err := jobs()
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]bool{"planetarium-no-ratings": false, "planetarium": true} {
		file, _ := drawn(t, all[name])
		text := strings.Join(strings.Fields(tool(t, "pdftotext", "-l", "1", "-raw", file, "-")), " ")
		if got := strings.Contains(text, words.Of(all[name], nil).Head("none_unweighed")); got != want {
			t.Errorf("%s: said %v (want %v): %s", name, got, want, text)
		}
	}
}
