package main

import (
	"bytes"
	"crypto/x509"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
	"reconcile/internal/signoff"
	"reconcile/internal/words"
)

var verifyVerb = verb{
	name:    "verify",
	args:    "PDF|DIR... [--trust CERT.pem]... [--json] | --find SHA256 PATH...",
	short:   "check a summary: unchanged, follows from its readings, signed by whom",
	example: "reconcile verify testdata/tickets/planetarium/summary.pdf --trust yard.pem",
	flags: func(f *pflag.FlagSet) {
		f.StringArray("trust", nil, "trust the signer with the certificate `CERT.pem`; may be given more than once")
		f.Bool("json", false, "print one line of JSON for each file")
		f.String("find", "", "find which summary or line of register.csv has the hash `SHA256`")
	},
	run: runVerify,
}

func runVerify(args []string, f *pflag.FlagSet, s streams) int {
	if f.Changed("find") {
		if f.Changed("trust") || f.Changed("json") {
			return s.refuse("verify: --find goes with neither --trust nor --json")
		}
		return findHash(f.Lookup("find").Value.String(), args, s)
	}
	if len(args) == 0 {
		return s.refuse("verify: no summary given (want one or more, or a folder of them, like reconcile verify myjob)")
	}
	paths, _ := f.GetStringArray("trust")
	var trust []*x509.Certificate
	for _, p := range paths {
		found, err := certificates(p)
		if err != nil {
			return s.refuse(err.Error())
		}
		trust = append(trust, found...)
	}
	all, err := summariesIn(args)
	if err != nil {
		return s.refuse(err.Error())
	}
	asJSON, _ := f.GetBool("json")
	return verifyAll(all, trust, asJSON, s)
}

// summariesIn puts every .pdf of a folder in the place of the folder, in the
// order of their names. Names that begin with a point are not finished.
func summariesIn(paths []string) ([]string, error) {
	var all []string
	for _, path := range paths {
		info, err := os.Stat(path)
		if err != nil || !info.IsDir() {
			all = append(all, path) // reading it says what is wrong
			continue
		}
		entries, err := os.ReadDir(path)
		if err != nil {
			return nil, fmt.Errorf("%q: %w", path, cause(err))
		}
		before := len(all)
		for _, e := range entries {
			if strings.EqualFold(filepath.Ext(e.Name()), ".pdf") && !strings.HasPrefix(e.Name(), ".") && !e.IsDir() {
				all = append(all, filepath.Join(path, e.Name()))
			}
		}
		if len(all) == before {
			return nil, fmt.Errorf("%q has no .pdf in it (want a folder of summaries)", path)
		}
	}
	return all, nil
}

// verified is what one file came to. The record itself is not kept: a folder
// may hold very many.
type verified struct {
	path     string
	found    *flow.Verification
	number   string
	verdict  string
	replaces string // SHA-256 of the record that it amends
	status   int
}

// verifyAll verifies on all cores and reports in the order given, all together:
// a later file may say by what an earlier one is replaced.
func verifyAll(paths []string, trust []*x509.Certificate, asJSON bool, s streams) int {
	ctx, stop := interruptible()
	defer stop()
	// Little lives on from file to file, so garbage may be more than that before it is
	// collected.
	defer debug.SetGCPercent(debug.SetGCPercent(200))
	var all []*verified
	p := newProgress(s.err, len(paths), "summaries")
	ordered(ctx, len(paths), func(i int) *verified { return verifyOne(paths[i], trust) }, func(_ int, v *verified) bool {
		all = append(all, v)
		p.step()
		return true
	})
	p.clear()
	nameAmendments(all)
	status := exitWithin
	for _, v := range all {
		if asJSON {
			s.out.Write(v.line())
		} else {
			v.print(s)
		}
		status = gravest(status, v.status)
	}
	if len(all) < len(paths) {
		p.stopped("the rest was not looked at")
		return exitCouldNot
	}
	p.done()
	return status
}

// summaryRooms are memory that summaries are read or drawn into, one after the other. The
// first touch of memory takes longer than reading a file into it.
var summaryRooms = sync.Pool{New: func() any { return new([]byte) }}

// largestSummaryRoom is kept: more than most summaries take.
const largestSummaryRoom = 1 << 20

// verifyOne verifies a file; nothing of its bytes is kept.
func verifyOne(path string, trust []*x509.Certificate) *verified {
	room := summaryRooms.Get().(*[]byte)
	defer summaryRooms.Put(room)
	b, unread := readSummary(path, *room)
	if b != nil && cap(b) <= largestSummaryRoom {
		*room = b
	}
	found := flow.Verify(b, trust, unread...)
	v := &verified{path: path, found: found, status: verifyStatus(found)}
	if r := found.Record; r != nil {
		v.number, v.verdict = r.Issuer.Number, r.Verdict
		if r.Replaces != nil {
			v.replaces = r.Replaces.RecordSHA256
		}
	}
	if !found.Sound || found.Usable {
		found.Release()
	}
	found.Line = nil
	return v
}

// verifyStatus is the exit status of one file.
func verifyStatus(v *flow.Verification) int {
	switch {
	case !v.Read:
		return exitCouldNot
	case !v.Sound:
		return exitOver
	case v.Vouched:
		return exitWithin
	}
	return exitUnsettled
}

// readSummary reads a file that is to be a summary, or finds why it cannot be read. A
// pipe or a device is not opened: it could be waited for without end. One too large to
// be ours is cut behind the limit: whoever opens it then says that it is not sound. It
// is read into room where that is large enough.
func readSummary(path string, room []byte) (b []byte, unread []words.Finding) {
	is := func(code string, why ...any) []words.Finding {
		return []words.Finding{words.OfFinding("not_read", code, why...)}
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, is("cannot_open", "why", "there is no such file")
	case err != nil:
		return nil, is("cannot_open", "why", cause(err).Error())
	case info.IsDir():
		return nil, is("cannot_open", "why", "it is a folder")
	case !info.Mode().IsRegular():
		return nil, is("not_a_file")
	}
	b, err = readInto(room, "summary", path, signoff.MaxSize)
	switch {
	case len(b) > signoff.MaxSize:
		return b, nil
	case err != nil:
		return nil, is("cannot_open", "why", cause(errors.Unwrap(err)).Error())
	case len(b) == 0:
		return nil, is("empty")
	}
	return b, nil
}

// readPDF is readSummary with an error, for the verbs that take a summary.
func readPDF(path string) ([]byte, error) {
	b, unread := readSummary(path, nil)
	if len(unread) > 0 {
		return nil, fmt.Errorf("%q: %s", path, unread[0].What)
	}
	return b, nil
}

// nameAmendments adds to a summary by which of the others it is replaced, where
// that one may speak for it.
func nameAmendments(all []*verified) {
	amended := map[string][]*verified{}
	for _, v := range all {
		if v.replaces != "" && v.status != exitOver && v.status != exitCouldNot {
			key := strings.ToUpper(v.replaces)
			amended[key] = append(amended[key], v)
		}
	}
	for _, v := range all {
		if v.found.SHA256 == "" {
			continue
		}
		for _, by := range amended[v.found.SHA256] {
			if by.speaksFor(v) {
				v.found.Findings = append(v.found.Findings, words.OfFinding("ok", "replaced_by", "number", by.number, "file", by.path))
			}
		}
	}
}

// speaksFor says whether an amendment is believed when it says that it replaces
// a summary: anybody can make one that says so, and sign it. A signed summary is
// replaced by one of the same signer, or of a signer whom the reader trusts.
func (v *verified) speaksFor(old *verified) bool {
	switch {
	case gravest(old.status, v.status) != old.status:
		return false
	case v.status == exitWithin || len(old.found.Signers) == 0:
		return true
	}
	return slices.ContainsFunc(old.found.Signers, func(s signoff.Signer) bool { return signedBy(v.found.Signers, s.Fingerprint) == nil })
}

// print prints a line per finding and signer, and the outcome last.
func (v *verified) print(s streams) {
	before := shown(v.path) + ": "
	if v.status == exitCouldNot {
		fmt.Fprintf(s.err, "reconcile: %s%s\n", before, v.found.Last)
		return
	}
	var b bytes.Buffer // what is said of a file is written at once
	for _, f := range v.found.Findings {
		fmt.Fprintf(&b, "%s%s\n", before, f.Said)
	}
	if r := v.found.Record; r != nil { // its pages are not checked: what the record says
		say := words.Of(r, nil)
		first := say.Headline()
		fmt.Fprintf(&b, "%s%s: %s\n%s%s: %s\n", before, say.Head("do_now"), first.DoNow, before, say.Head("verdict"), first.Verdict)
	}
	fmt.Fprintf(&b, "%s%s\n", before, v.found.Last)
	s.out.Write(b.Bytes())
}
