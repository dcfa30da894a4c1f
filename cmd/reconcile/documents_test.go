package main

import (
	"bytes"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"reconcile/internal/study"
	"regexp"
	"strings"
	"testing"
)

// shellBlock is a block of commands for a shell.
var shellBlock = regexp.MustCompile("(?ms)^```sh\n(.*?)^```$")

// TestArchiveCommands runs the commands with which docs/inspector.md verifies an
// archive, on one of six files: four that are signed and trusted, one of which
// amends another, one unsigned, one with a byte after its end.
func TestArchiveCommands(t *testing.T) {
	for _, tool := range []string{"bash", "parallel", "sqlite3"} {
		study.Tool(t, tool)
	}
	text, err := os.ReadFile("../../docs/inspector.md")
	if err != nil {
		t.Fatal(err)
	}
	blocks := shellBlock.FindAllSubmatch(text, -1)
	if len(blocks) != 1 {
		t.Fatalf("docs/inspector.md has %d blocks of commands, want 1", len(blocks))
	}
	root, err := filepath.Abs("../../testdata/tickets")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	t.Setenv(passwordVariable, quickPassword)
	mustQuickKey(t, "yard.p12", "Yard")
	for _, args := range []string{
		"summary " + root + "/day --out archive/day --sign yard.p12",
		"summary " + root + "/planetarium --out archive/march",
		"summary " + root + "/planetarium --out archive/dome --sign yard.p12",
		"summary " + root + "/planetarium --out archive/dome --sign yard.p12 --paper letter --because reprinted",
	} {
		var out bytes.Buffer
		if status := run(strings.Fields(args), strings.NewReader(""), &out, &out); status != exitWithin {
			t.Fatalf("%s: status %d\n%s", args, status, &out)
		}
	}
	unsigned, err := os.ReadFile("archive/march/summary.pdf")
	if err != nil {
		t.Fatal(err)
	}
	put(t, "archive/changed.pdf", string(unsigned)+"x")
	out, err := exec.Command("bash", "-c", string(blocks[0][1])).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	// the archive above, by hand
	want := regexp.MustCompile(`^not_signed\|1\nnot_sound\|1\nvouched\|4\n` +
		`archive/changed.pdf\|not_sound\|[0-9A-F]{64}\narchive/march/summary.pdf\|not_signed\|[0-9A-F]{64}\n` +
		`archive/dome/summary.pdf\|archive/dome/summary-2.pdf\|reprinted\n$`)
	if !want.Match(out) {
		t.Errorf("the commands print\n%s", out)
	}
}

// inTree is a path that a document names.
var inTree = regexp.MustCompile("`((?:internal|cmd|bench|testdata|docs|\\.ci)/[A-Za-z0-9_/.*-]+)`")

// TestNamedFilesExist wants every file and folder that a document names.
func TestNamedFilesExist(t *testing.T) {
	documents, err := filepath.Glob("../../docs/*.md")
	if err != nil {
		t.Fatal(err)
	}
	named := 0
	for _, path := range append(documents, "../../README.md", "../../DEVELOPERS.md") {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range inTree.FindAllSubmatch(text, -1) {
			named++
			if found, err := filepath.Glob("../../" + string(m[1])); err != nil || len(found) == 0 {
				t.Errorf("%s names %s, which is not there (%v)", path, m[1], err)
			}
		}
	}
	if named < 40 {
		t.Errorf("%d files named (want at least 40)", named)
	}
}

// TestReadmePicture compares the picture of page 1 in the README with page 1 of
// the summary that the README's first command makes, pixel by pixel: at most one
// in a hundred may differ by more than a tenth, as another version of the
// renderer may have it. UPDATE=1 keeps the new picture; look at it.
func TestReadmePicture(t *testing.T) {
	pdftoppm := study.Tool(t, "pdftoppm")
	const kept = "../../testdata/pictures/page-1.png"
	dir := t.TempDir()
	var out bytes.Buffer
	if status := run([]string{"summary", "../../testdata/tickets/planetarium", "--out", dir}, strings.NewReader(""), &out, &out); status != exitWithin {
		t.Fatalf("status %d\n%s", status, &out)
	}
	base := filepath.Join(dir, "page")
	if said, err := exec.Command(pdftoppm, "-r", "80", "-png", "-singlefile", filepath.Join(dir, "summary.pdf"), base).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	drawn, err := os.ReadFile(base + ".png")
	if err != nil {
		t.Fatal(err)
	}
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(kept, drawn, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	picture, err := os.ReadFile(kept)
	if err != nil {
		t.Fatal(err)
	}
	if share := differing(t, picture, drawn); share > 0.01 {
		t.Errorf("%.1f %% of the picture differ from page 1 (UPDATE=1 go test ./cmd/reconcile -run ReadmePicture)", 100*share)
	}
}

// differing is the share of pixels that differ by more than a tenth.
func differing(t *testing.T, a, b []byte) float64 {
	t.Helper()
	x, err := png.Decode(bytes.NewReader(a))
	if err != nil {
		t.Fatal(err)
	}
	y, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	size := x.Bounds()
	if size != y.Bounds() || size.Empty() {
		return 1
	}
	count := 0
	for j := range size.Dy() {
		for i := range size.Dx() {
			_, p, _, _ := x.At(i, j).RGBA()
			_, q, _, _ := y.At(i, j).RGBA()
			if math.Abs(float64(p)-float64(q)) > 6553 {
				count++
			}
		}
	}
	return float64(count) / float64(size.Dx()*size.Dy())
}
