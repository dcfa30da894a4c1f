package main

import (
	"bytes"
	"crypto/md5"
	"fmt"
	"path"
	"slices"
	"strings"
	"time"
)

// debian packs the program as Debian installs it (deb(5), format 2.0).
func (r *release) debian(processor string, program []byte, licences string) ([]byte, error) {
	files, err := r.installed(program, licences)
	if err != nil {
		return nil, err
	}
	size, sums := 0, ""
	for _, f := range files {
		size += (len(f.bytes) + 1023) / 1024
		sums += fmt.Sprintf("%x  %s\n", md5.Sum(f.bytes), f.name)
	}
	control, err := tarred([]file{
		{"./", 0o755, nil},
		{"./control", 0o644, []byte(r.control(processor, size))},
		{"./md5sums", 0o644, []byte(sums)},
	}, r.papers.date)
	if err != nil {
		return nil, err
	}
	data, err := tarred(withFolders(files), r.papers.date)
	if err != nil {
		return nil, err
	}
	return members(r.papers.date, file{"debian-binary", 0o644, []byte("2.0\n")},
		file{"control.tar.gz", 0o644, control}, file{"data.tar.gz", 0o644, data}), nil
}

// installed lists what is installed where, by name.
func (r *release) installed(program []byte, licences string) ([]file, error) {
	const doc = "usr/share/doc/reconcile/"
	manual, err := packed(r.papers.manual)
	if err != nil {
		return nil, err
	}
	changes, err := packed([]byte(fmt.Sprintf("reconcile (%s) stable; urgency=medium\n\n  * Version %[1]s.\n\n -- %s  %s\n",
		r.version, r.maintainer, r.papers.date.Format(time.RFC1123Z))))
	if err != nil {
		return nil, err
	}
	files := []file{
		{"usr/bin/reconcile", 0o755, program},
		{"usr/share/man/man1/reconcile.1.gz", 0o644, manual},
		{doc + "changelog.gz", 0o644, changes},
		{doc + "copyright", 0o644, []byte(licences)},
	}
	for _, s := range shells {
		files = append(files, file{s.folder + s.file, 0o644, r.papers.completion[s.shell]})
	}
	for _, d := range r.papers.docs {
		files = append(files, file{doc + path.Base(d.name), 0o644, d.bytes})
	}
	slices.SortFunc(files, func(a, b file) int { return strings.Compare(a.name, b.name) })
	return files, nil
}

// control describes the package (Debian Policy, 5.3).
func (r *release) control(processor string, kib int) string {
	return fmt.Sprintf(`Package: reconcile
Version: %s
Architecture: %s
Maintainer: %s
Installed-Size: %d
Section: science
Priority: optional
Description: what weighbridge tickets say of a vehicle and its trailer
 Reads weighbridge tickets typed into CSV forms, solves for the coupling
 download and the load on every axle with their uncertainties, compares each
 load with its rating, and writes a PDF summary that others can verify.
`, r.version, processor, r.maintainer, kib)
}

// withFolders puts the folders of files before them, as dpkg wants them.
func withFolders(files []file) []file {
	all, seen := []file{{"./", 0o755, nil}}, map[string]bool{".": true}
	var folders func(dir string)
	folders = func(dir string) {
		if !seen[dir] {
			folders(path.Dir(dir))
			seen[dir] = true
			all = append(all, file{"./" + dir + "/", 0o755, nil})
		}
	}
	for _, f := range files {
		folders(path.Dir(f.name))
		all = append(all, file{"./" + f.name, f.mode, f.bytes})
	}
	return all
}

// members puts files into an archive as ar(5) describes it.
func members(when time.Time, files ...file) []byte {
	out := bytes.NewBufferString("!<arch>\n")
	for _, f := range files {
		fmt.Fprintf(out, "%-16s%-12d%-6d%-6d%-8o%-10d`\n", f.name, when.Unix(), 0, 0, 0o100000|f.mode, len(f.bytes))
		out.Write(f.bytes)
		if len(f.bytes)%2 == 1 {
			out.WriteByte('\n')
		}
	}
	return out.Bytes()
}
