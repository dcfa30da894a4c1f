// Package oldpdfout is version 1 of the pages, until the flow makes the new record. It draws a record as pages: a PDF 1.7 that an owner reads in ten
// seconds and an inspector can check figure by figure. It computes nothing:
// every number comes from the record, every sentence from package record.
// Text is measured, never guessed, and the same record gives the same bytes.
//
// Lines, areas and the page tree are a PDF library's; this package writes the
// text and embeds the faces, so that they are cut once and not for every
// document, and adds what the library lacks: metadata, language, compression
// without waste, and attachments under a sorted name tree. The file's
// identifier is left as zeros for whoever completes the file, see [Draw].
package oldpdfout

import (
	"errors"
	"fmt"

	record "reconcile/internal/oldrecord"
)

// Attachment is a file to be attached: its name in the PDF, and its bytes.
type Attachment struct {
	Name  string
	Bytes []byte
}

// RecordName is the name under which the record itself is attached.
const RecordName = "record.json"

// Draw gives the pages of r as a PDF with line, the record's own bytes as it
// is printed by --json, attached as record.json before the other attachments.
// The SHA-256 of line stands on every page. The paper is r.Options.Paper, A4
// where it names none.
//
// The trailer ends with /ID [<64 zeros><64 zeros>], to be filled in with the
// hash of the finished file. It fails if two attachments have one name, or
// none.
func Draw(r *record.Record, line []byte, attachments []Attachment) ([]byte, error) {
	if r == nil || len(line) == 0 {
		return nil, errors.New("no record to draw")
	}
	f, err := loadFaces()
	if err != nil {
		return nil, err
	}
	size, known := papers[r.Options.Paper]
	if !known {
		size = papers["a4"]
	}
	s := newSheet(f, size)
	s.head = joined(" · ", documentTitle, jobLine(r), r.Outfit.Owner)
	s.firstPage(r)
	for _, section := range sections {
		section(s, r)
	}
	if err := s.footers(r, fingerprint(line)); err != nil {
		return nil, err
	}
	files := append([]Attachment{{RecordName, line}}, attachments...)
	pdf, err := s.finish(aboutRecord(f, r), files)
	if err != nil {
		return nil, fmt.Errorf("pages of job %q: %w", r.Job, err)
	}
	return pdf, nil
}

// sections follow page 1, each leaving itself out if it has nothing to say.
var sections = []func(*sheet, *record.Record){
	(*sheet).next,
	(*sheet).checks,
	(*sheet).readings,
	(*sheet).agreement,
	(*sheet).quantities,
	(*sheet).routes,
	(*sheet).headroom,
	(*sheet).plan,
	(*sheet).ratings,
	(*sheet).scales,
	(*sheet).footnotes,
	(*sheet).method,
	(*sheet).attached,
	(*sheet).cautions,
	(*sheet).signOff,
}

// languages are the document's language by region.
var languages = map[string]string{"au": "en-AU", "nz": "en-NZ", "uk": "en-GB", "eu": "en-GB", "us": "en-US"}

// aboutRecord is the document's metadata, as printable as its pages.
func aboutRecord(f *faces, r *record.Record) about {
	lang := languages[r.Options.Region]
	if lang == "" {
		lang = "en"
	}
	return about{
		title:    f.clean(joined(" · ", documentTitle, jobLine(r), joined(" + ", r.Outfit.Vehicle, r.Outfit.Trailer))),
		subject:  f.clean(r.Headline.VerdictText),
		author:   f.clean(r.Issuer.Name),
		producer: f.clean("reconcile " + r.Program),
		lang:     lang,
		date:     dated(r),
	}
}
