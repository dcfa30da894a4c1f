package pdfout

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"reconcile/internal/study"
	"reconcile/internal/words"
)

// readTags is a program in Python that reads the tree of elements with pikepdf,
// a general-purpose library, and checks it as ISO 32000-1, 14.7 has it: each
// element knows its parent, and every piece of content on every page belongs to
// the one element that the tree of parents names. It prints the elements in the
// order of reading.
const readTags = `
import json, sys, pikepdf
def read(file):
    pdf = pikepdf.open(file)
    root = pdf.Root.StructTreeRoot
    assert bool(pdf.Root.MarkInfo.Marked)
    pages = {p.obj.objgen: i for i, p in enumerate(pdf.pages)}
    seen, out = {}, []
    def walk(e, parent, depth):
        assert e.P.objgen == parent.objgen, 'another parent'
        kids = e.get('/K')
        kids = [] if kids is None else list(kids) if isinstance(kids, pikepdf.Array) else [kids]
        entry = {'kind': str(e.S)[1:], 'alt': str(e.get('/Alt', '')), 'depth': depth, 'pieces': [], 'class': str(e.get('/C', ''))}
        out.append(entry)
        for k in kids:
            if isinstance(k, int):
                piece = (pages[e.Pg.objgen], k)
            elif k.get('/Type') == '/MCR':
                piece = (pages[k.Pg.objgen], int(k.MCID))
            else:
                walk(k, e, depth + 1)
                continue
            assert piece not in seen, 'a piece twice'
            seen[piece] = e.objgen
            entry['pieces'].append(piece)
    walk(root.K, root, 0)
    nums = list(root.ParentTree.Nums)
    texts = {}
    for i, p in enumerate(pdf.pages):
        assert int(p.obj.StructParents) == i and nums[2 * i] == i
        owners = list(nums[2 * i + 1])
        opened, ids = None, []
        for operands, operator in pikepdf.parse_content_stream(p):
            o = str(operator)
            if o == 'BDC':
                assert opened is None, 'marked within marked'
                opened = int(operands[1].MCID)
                ids.append(opened)
                texts[(i, opened)] = b''
            elif o == 'BMC':
                assert opened is None and str(operands[0]) == '/Artifact'
                opened = 'artifact'
            elif o == 'EMC':
                assert opened is not None
                opened = None
            elif o in ('Tj', 'S', 'f', 'b', 'Do'):
                assert opened is not None, 'content that is not marked'
                if o == 'Tj' and opened != 'artifact':
                    texts[(i, opened)] += bytes(operands[0])
        assert opened is None
        assert ids == list(range(len(ids))) and len(owners) == len(ids), 'pieces of a page'
        for n in ids:
            assert seen[(i, n)] == owners[n].objgen, 'the tree of parents'
    assert set(seen) == set(texts)
    for e in out:
        e['text'] = ''.join(texts[p].decode('latin-1') for p in e['pieces'])
        del e['pieces']
    print(json.dumps(out))
for file in sys.argv[1:]:
    read(file)
`

// tag is an element as pikepdf reads it. Of its text only ASCII is compared.
type tag struct {
	Kind, Alt, Text, Class string
	Depth                  int
}

// tagsOf reads the elements of each file.
func tagsOf(t *testing.T, files ...string) [][]tag {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(toolAt(t, study.Tool(t, "python3", "pikepdf"), append([]string{"-c", readTags}, files...)...)), "\n")
	if len(lines) != len(files) {
		t.Fatalf("%d of %d files were read", len(lines), len(files))
	}
	all := make([][]tag, len(files))
	for i, line := range lines {
		if err := json.Unmarshal([]byte(line), &all[i]); err != nil {
			t.Fatal(err)
		}
	}
	return all
}

// TestTags: every text and line of every page belongs to one element or is
// decoration; headings come in order; a table's rows have as many cells as its
// head; the drawing has its sentence.
func TestTags(t *testing.T) {
	heads, cells := 0, 0
	var names, files []string
	for name, r := range most(t) {
		file, _ := drawn(t, r)
		names, files = append(names, name), append(files, file)
	}
	for i, tags := range tagsOf(t, files...) {
		name, level, columns, figures := names[i], 0, 0, 0
		if len(tags) < 10 || tags[0].Kind != "Document" {
			t.Fatalf("%s: %d elements", name, len(tags))
		}
		for i, e := range tags {
			switch e.Kind {
			case "H1", "H2", "H3":
				n := int(e.Kind[1] - '0')
				if n > level+1 {
					t.Errorf("%s: %s %q after a heading of level %d", name, e.Kind, e.Text, level)
				}
				level = n
				heads++
			case "Table":
				columns = 0
			case "TR":
				n := 0
				for _, c := range tags[i+1:] {
					if c.Depth <= e.Depth {
						break
					}
					n++
				}
				if columns == 0 {
					columns = n
				}
				if n != columns || n == 0 {
					t.Errorf("%s: a row of %d cells under %d heads", name, n, columns)
				}
				cells += n
			case "TH":
				if e.Class != "/column" {
					t.Errorf("%s: the head %q is of class %q", name, e.Text, e.Class)
				}
			case "Figure":
				figures++
				if e.Alt == "" {
					t.Errorf("%s: a drawing without words", name)
				}
			}
		}
		if figures == 0 {
			t.Errorf("%s: no drawing", name)
		}
	}
	if heads < study.Size(200, 60, 60) || cells < study.Size(500, 60, 60) {
		t.Errorf("only %d headings and %d cells were looked at", heads, cells)
	}
}

// TestTagsSay: what a screen reader says of a summary, against the words and
// numbers of its record.
func TestTagsSay(t *testing.T) {
	r := example(t, "within")
	file, _ := drawn(t, r)
	tags := tagsOf(t, file)[0]
	say := words.Of(r, nil)
	find := func(kind, text string) int {
		for i, e := range tags {
			if e.Kind == kind && strings.Join(strings.Fields(e.Text), " ") == text {
				return i
			}
		}
		t.Errorf("no %s says %q", kind, text)
		return 0
	}
	last := find("H1", "Weighing summary")
	for _, text := range []string{"Axle loads, coupled", "Loads against the ratings that decide", say.Head("s_next"), say.Head("s_signoff"), say.Head("s_checks"), say.Head("s_readings"), say.Head("s_method")} {
		at := find("H2", text)
		if at < last {
			t.Errorf("%q is read too early", text)
		}
		last = at
	}
	find("P", "what to do now "+say.Headline().DoNow)
	row := find("TD", "towball download") // the row that governs, on page 1
	if got := fmt.Sprint(tags[row-1].Kind, " ", tags[row+2].Text, " ", tags[row+3].Text); got != "TR 310 within" {
		t.Errorf("the row of the towball download goes on %q", got)
	}
	for _, e := range tags {
		if e.Kind == "Figure" {
			// 240 ± 22, 1,241 ± 21, 1,759 ± 32, 2,240 ± 22: the numbers of page 1, see the example run of the README
			for _, want := range []string{"front axle 1,241 ± 21 kg", "rear axle 1,759 ± 32 kg", "trailer axle group 2,240 ± 22 kg", "towball download: 240 ± 22 kg", "3,085 mm"} {
				if !strings.Contains(e.Alt, want) {
					t.Errorf("the drawing's words lack %q: %s", want, e.Alt)
				}
			}
			break
		}
	}
}

// TestTagsRead: poppler reads the same headings and cells, and the words of the
// drawing. It takes a second for each: in a plain run Letter, in a study A4 too,
// of which TestLetterheadRead always reads the first lines.
func TestTagsRead(t *testing.T) {
	names := []string{"unsettled", "within"} // Letter, A4
	if !study.Full() {
		names = names[:1]
	}
	for _, name := range names {
		file, _ := drawn(t, example(t, name))
		text := tool(t, "pdfinfo", "-struct-text", file)
		for _, want := range []string{`(?m)^Document$`, `H1 \(block\)\n    "Weighing summary"`, `(?m)^ +Table \(block\)$`, `(?m)^      TH:\n +/Scope /Column\n        "rating"$`, `(?m)^  Figure`} {
			if !regexp.MustCompile(want).MatchString(text) {
				t.Errorf("%s: poppler finds no %s:\n%.2000s", name, want, text)
			}
		}
		if out := tool(t, "pdfinfo", file); !regexp.MustCompile(`Tagged:\s+yes`).MatchString(out) {
			t.Error(out)
		}
	}
}

// TestLetterheadRead: who issued the summary is read first, then its title and
// number; on paper the two are next to each other.
func TestLetterheadRead(t *testing.T) {
	r := *allJobs(t)["day dome-1"]
	r.Issuer.Number = "2026-041"
	file, _ := drawn(t, &r)
	said := strings.Join(strings.Fields(tool(t, "pdfinfo", "-struct-text", file)), " ")
	want := `P (block) "Copper Lane Weighing" P (block) "Copper Lane 4, Lanternfield" P (block) "555 0140" P (block) "licence PW-118" ` +
		`H1 (block) "Weighing summary" P (block) "number 2026-041" P (block) "job dome-1" P (block) "issued 2026-03-16" P (block) "owner"`
	if !strings.Contains(said, want) {
		t.Errorf("poppler reads %.800s", said)
	}
}
