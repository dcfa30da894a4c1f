package main

import (
	"bytes"
	"compress/zlib"
	"encoding/json"
	"fmt"
	"io"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"time"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"

	"reconcile/internal/record"
	"reconcile/internal/signoff"
)

// command is one program run; env is added to the environment.
type command struct {
	path string
	args []string
	env  []string
}

// timed is a command to be timed: the folder that it writes is not there before,
// and its exit status has to be want.
type timed struct {
	command
	out  string
	want int
}

func (c command) run() timed            { return timed{command: c} }
func (c command) into(out string) timed { return timed{command: c, out: out} }
func (c command) status(want int) timed { return timed{command: c, want: want} }

// compareAll runs the commands in turn, so that what else the machine does
// meets all of them.
func compareAll(rounds int, all ...timed) []series {
	runs := make([]series, len(all))
	for range rounds {
		for i, c := range all {
			runs[i] = append(runs[i], c.time())
		}
	}
	return runs
}

// putAway gives what is there another name. Removed it would slow down the run that
// follows: a file system passes over the files that were only just removed, one by
// one, wherever it makes a new one (ext4 without a journal), which nobody's day asks for.
func putAway(path string) {
	for n := 1; ; n++ {
		old := fmt.Sprintf("%s.%d", path, n)
		if _, err := os.Lstat(old); err == nil {
			continue
		}
		if err := os.Rename(path, old); err != nil && !os.IsNotExist(err) {
			log.Fatal(err)
		}
		return
	}
}

// time runs a command once; its output is thrown away.
func (t timed) time() figures {
	if t.out != "" {
		putAway(t.out)
	}
	var said bytes.Buffer
	cmd := exec.Command(t.path, t.args...)
	cmd.Env, cmd.Stderr = append(os.Environ(), t.env...), &said
	start := time.Now()
	err := cmd.Run()
	wall := time.Since(start)
	if cmd.ProcessState == nil || cmd.ProcessState.ExitCode() != t.want {
		log.Fatalf("%s %.80s: %v (want exit status %d)\n%.2000s", t.path, t.args, err, t.want, said.String())
	}
	used := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	cpu := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	return figures{wall.Seconds(), cpu.Seconds(), float64(used.Maxrss)}
}

// output runs a command and gives what it prints.
func (b *bench) output(env []string, path string, args ...string) []byte {
	cmd := exec.Command(path, args...)
	cmd.Env = append(os.Environ(), env...)
	out, err := cmd.Output()
	if err != nil {
		log.Fatalf("%s %s: %v", path, args, err)
	}
	return out
}

func (b *bench) writeOutput(file, path string, args ...string) {
	out, err := os.Create(file)
	if err != nil {
		log.Fatal(err)
	}
	defer out.Close()
	cmd := exec.Command(path, args...)
	cmd.Stdout = out
	if err := cmd.Run(); err != nil {
		log.Fatalf("%s %s: %v", path, args, err)
	}
}

// numbers runs a command that prints numbers.
func (b *bench) numbers(env []string, path string, args ...string) []float64 {
	var all []float64
	for _, word := range strings.Fields(string(b.output(env, path, args...))) {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			log.Fatal(err)
		}
		all = append(all, v)
	}
	return all
}

// day has the forms of a day of n jobs written, again each time, by a program of
// its own: what this one holds in memory counts as the peak of those it starts.
func (b *bench) day(name string, n int, conflict float64) string {
	dir := b.path(name)
	b.output(nil, b.program("jobs"), "-n", strconv.Itoa(n), "-conflict", fmt.Sprint(conflict), dir)
	return dir
}

// content takes one summary of a day apart: what bare programs have to draw.
// It also gives the two faces as files.
func (b *bench) content(dir string) (file string, fonts [2]string) {
	out := b.path("content")
	timed{command{b.program("reconcile"), []string{"summary", dir, "--out", out}, nil}, out, 0}.time()
	pdfs, err := filepath.Glob(filepath.Join(out, "*.pdf"))
	if err != nil || len(pdfs) == 0 {
		log.Fatal("no summary to take apart: ", err)
	}
	pdf, err := os.ReadFile(pdfs[len(pdfs)/2])
	if err != nil {
		log.Fatal(err)
	}
	b.writeJSON(b.path("content.json"), takenApart(pdf))
	for i, ttf := range [][]byte{liberationsansregular.TTF, liberationsansbold.TTF} {
		fonts[i] = b.path(fmt.Sprintf("face%d.ttf", i))
		if err := os.WriteFile(fonts[i], ttf, 0o666); err != nil {
			log.Fatal(err)
		}
	}
	return b.path("content.json"), fonts
}

func (b *bench) writeJSON(file string, v any) {
	text, err := json.Marshal(v)
	if err == nil {
		err = os.WriteFile(file, text, 0o666)
	}
	if err != nil {
		log.Fatal(err)
	}
}

// page is what a page shows: its texts, and how many paths are painted.
type page struct {
	Texts []string
	Paths int
}

// painted is an operator that paints a path (ISO 32000-1, table 60).
var painted = regexp.MustCompile(`(?m)(^|\s)(S|s|f|F|f\*|B|B\*|b|b\*)(\s|$)`)

// packed is the stream of a page or of the map from codes to text, as this program
// writes them; drawn a string on a page; mapped an entry of the map for one byte.
var (
	packed = regexp.MustCompile(`\n<<  /Filter /FlateDecode /Length \d+ >>\nstream\n`)
	drawn  = regexp.MustCompile(`(?s)\(((?:[^\\()]|\\.)*)\) Tj`)
	mapped = regexp.MustCompile(`(?m)^<([0-9A-F]{2})> <([0-9A-F]{4})>$`)
)

// textOf is the text of a string on a page: plain text is written as it is.
func textOf(written []byte, codes map[byte]rune) string {
	var text []rune
	for i := 0; i < len(written); i++ {
		c := written[i]
		if c == '\\' && i+1 < len(written) {
			i++
			if c = written[i]; c == 'r' {
				c = '\r'
			}
		}
		r, ok := codes[c]
		if !ok {
			r = rune(c)
		}
		text = append(text, r)
	}
	return string(text)
}

// unpacked are the streams of the pages, in their order, and the characters that
// single bytes stand for there.
func unpacked(pdf []byte) (pages [][]byte, codes map[byte]rune) {
	codes = map[byte]rune{}
	for _, at := range packed.FindAllIndex(pdf, -1) {
		r, err := zlib.NewReader(bytes.NewReader(pdf[at[1]:]))
		if err != nil {
			log.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			log.Fatal(err)
		}
		if !bytes.Contains(b, []byte("begincmap")) {
			pages = append(pages, b)
			continue
		}
		for _, m := range mapped.FindAllSubmatch(b, -1) {
			code, _ := strconv.ParseUint(string(m[1]), 16, 8)
			char, _ := strconv.ParseUint(string(m[2]), 16, 16)
			codes[byte(code)] = rune(char)
		}
	}
	return pages, codes
}

func takenApart(pdf []byte) (c struct {
	Pages    []page
	Attached []string
}) {
	pages, codes := unpacked(pdf)
	cells, paths := 0, 0
	for _, stream := range pages {
		p := page{Paths: len(painted.FindAll(stream, -1))}
		for _, m := range drawn.FindAllSubmatch(stream, -1) {
			p.Texts = append(p.Texts, textOf(m[1], codes))
		}
		cells, paths = cells+len(p.Texts), paths+p.Paths
		c.Pages = append(c.Pages, p)
	}
	files, err := signoff.Attachments(pdf)
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range files {
		if r, err := record.Parse(f.Bytes, 0); err == nil {
			fmt.Printf("\na summary of %d readings: %d pages, %d texts, %d lines and areas, %d attachments\n", len(r.Readings), len(c.Pages), cells, paths, len(files))
		}
		c.Attached = append(c.Attached, string(f.Bytes))
	}
	return c
}
