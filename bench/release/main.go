// Command release builds what is handed out: the program for each system, a
// Debian package of it, the page for a browser, and the list of their SHA-256.
//
//	go run -C bench ./release [--maintainer 'NAME <ADDRESS>'] OUT
//
// The same tree and the same release of Go give the same bytes on every run and
// in every folder. Version and date come from the program's manual page; times
// in the files are that date, or SOURCE_DATE_EPOCH where it is set.
package main

import (
	"crypto/sha256"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

func main() {
	maintainer := pflag.String("maintainer", "nobody <nobody@localhost>", "who publishes the Debian package, `NAME <ADDRESS>`")
	root := pflag.String("root", "..", "`folder` of the module")
	pflag.Parse()
	if pflag.NArg() != 1 {
		log.Fatal("usage: release [--maintainer 'NAME <ADDRESS>'] OUT")
	}
	r := &release{root: *root, out: pflag.Arg(0), maintainer: *maintainer}
	if err := r.build(); err != nil {
		log.Fatal(err)
	}
}

// target is a system that the program is built for; name is what its users call
// the system.
type target struct{ name, system, processor string }

var targets = []target{
	{"linux", "linux", "amd64"}, {"linux", "linux", "arm64"},
	{"macos", "darwin", "amd64"}, {"macos", "darwin", "arm64"},
	{"windows", "windows", "amd64"}, {"windows", "windows", "arm64"},
}

// release is one build of everything.
type release struct {
	root, out, maintainer string

	version string
	papers  papers
	made    []string // the files made so far
}

func (r *release) build() error {
	if err := os.MkdirAll(r.out, 0o777); err != nil {
		return err
	}
	if there, err := os.ReadDir(r.out); err != nil || len(there) > 0 {
		return fmt.Errorf("%s is not empty (%v)", r.out, err)
	}
	if err := r.readPapers(); err != nil {
		return err
	}
	for _, t := range targets {
		if err := r.target(t); err != nil {
			return fmt.Errorf("%s %s: %w", t.name, t.processor, err)
		}
	}
	if err := r.page(); err != nil {
		return err
	}
	return r.sums()
}

// target builds the program for one system and packs it with its papers.
func (r *release) target(t target) error {
	program, err := r.program(t.system, t.processor)
	if err != nil {
		return err
	}
	licences, err := r.licences(t.system)
	if err != nil {
		return err
	}
	base := fmt.Sprintf("reconcile-%s-%s-%s", r.version, t.name, t.processor)
	files := r.archive(fmt.Sprintf("reconcile-%s/", r.version), t.system, program, licences)
	if t.system == "windows" {
		return r.keep(base+".zip", func() ([]byte, error) { return zipped(files, r.papers.date) })
	}
	if err := r.keep(base+".tar.gz", func() ([]byte, error) { return tarred(files, r.papers.date) }); err != nil || t.system != "linux" {
		return err
	}
	return r.keep(fmt.Sprintf("reconcile_%s_%s.deb", r.version, t.processor), func() ([]byte, error) {
		return r.debian(t.processor, program, licences)
	})
}

// archive lists what an archive holds, all in one folder.
func (r *release) archive(folder, system string, program []byte, licences string) []file {
	name := "reconcile"
	if system == "windows" {
		name += ".exe"
	}
	files := []file{
		{folder + name, 0o755, program},
		{folder + "LICENCES.txt", 0o644, []byte(licences)},
		{folder + "reconcile.1", 0o644, r.papers.manual},
	}
	for _, s := range shells {
		files = append(files, file{folder + "completion/" + s.file, 0o644, r.papers.completion[s.shell]})
	}
	for _, d := range r.papers.docs {
		files = append(files, file{folder + d.name, 0o644, d.bytes})
	}
	return files
}

// keep writes one of the files that are handed out.
func (r *release) keep(name string, make func() ([]byte, error)) error {
	b, err := make()
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	r.made = append(r.made, name)
	return os.WriteFile(filepath.Join(r.out, name), b, 0o644)
}

// sums writes the list that sha256sum --check reads.
func (r *release) sums() error {
	slices.Sort(r.made)
	var list strings.Builder
	for _, name := range r.made {
		b, err := os.ReadFile(filepath.Join(r.out, name))
		if err != nil {
			return err
		}
		fmt.Fprintf(&list, "%x  %s\n", sha256.Sum256(b), name)
	}
	fmt.Print(list.String())
	return os.WriteFile(filepath.Join(r.out, "SHA256SUMS"), []byte(list.String()), 0o644)
}
