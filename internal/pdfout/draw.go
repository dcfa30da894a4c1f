// Package pdfout draws a record as pages: a PDF that an owner reads in ten
// seconds and an inspector can check figure by figure. It computes nothing:
// every number comes from the record, every sentence from package words. Text
// is measured, never guessed, and the same record gives the same bytes.
//
// The page tree is a PDF library's; this package writes the text, lines and
// areas, embeds the faces, so that they are cut once and not for every
// document, and adds what the library lacks: metadata, language, compression
// without waste, and attachments under a sorted name tree. The file's
// identifier is left as zeros for whoever completes the file, see [Draw].
package pdfout

import (
	"errors"
	"fmt"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// RecordName is the name under which the record itself is attached.
const RecordName = "record.json"

// Draw gives the pages of a record, in the words of say, as a PDF with line, the
// record's own bytes as it is printed by --json, attached as record.json before the
// other attachments, of which the bytes of an earlier record are one. The SHA-256 of
// line is on every page. The paper is that of the record's options, A4 where they
// name none.
//
// The trailer ends with /ID [<64 zeros><64 zeros>], to be filled in with the
// hash of the finished file. It is written into room, which may be nil, where that
// is large enough. It fails if two attachments have one name, or none.
func Draw(say *words.Words, line []byte, attachments []record.File, room []byte) ([]byte, error) {
	if say == nil || len(line) == 0 {
		return nil, errors.New("no record to draw")
	}
	r := say.Record
	paper, known := papers[r.Options.Paper]
	if !known {
		paper = papers["a4"]
	}
	s := newSheet(theFaces, paper)
	s.rec, s.say = r, say
	for i := range say.Report().Checks {
		s.checked = append(s.checked, ratedOf(&say.Report().Checks[i]))
	}
	s.head = joined(" · ", s.label("title"), s.jobLine(), r.Outfit.Owner)
	s.firstPage()
	s.secondPage()
	if s.evidence = !r.Options.Short; s.evidence {
		for _, section := range evidence {
			section(s)
		}
	}
	if err := s.footers(fingerprint(line)); err != nil {
		return nil, err
	}
	files := append([]record.File{{Name: RecordName, Bytes: line}}, attachments...)
	pdf, err := s.finish(s.about(), files, room)
	if err != nil {
		return nil, fmt.Errorf("pages of job %q: %w", r.Job, err)
	}
	return pdf, nil
}

// evidence is what follows, in its order, each part leaving itself out if it has
// nothing to say. Two pages are enough for most readers; --short leaves the rest to
// the attachments.
var evidence = []func(*sheet){
	(*sheet).changes,
	(*sheet).tripInFull,
	(*sheet).roomLeft,
	(*sheet).plan,
	(*sheet).checks,
	(*sheet).readings,
	(*sheet).agreement,
	(*sheet).quantities,
	(*sheet).routes,
	(*sheet).ratings,
	(*sheet).scales,
	(*sheet).footnotes,
	(*sheet).method,
	(*sheet).attached,
}

// languages are the document's language by region.
var languages = map[string]string{"au": "en-AU", "nz": "en-NZ", "uk": "en-GB", "eu": "en-GB", "us": "en-US"}

// about is the document's metadata, as printable as its pages.
func (s *sheet) about() about {
	lang := languages[s.rec.Options.Region]
	if lang == "" {
		lang = "en"
	}
	o := s.rec.Outfit
	title := joined(" · ", s.label("title"), s.jobLine(), joined(" + ", o.Vehicle, o.Trailer))
	if s.rec.Job == "" {
		title = joined(" · ", s.label("title"), s.jobLine())
	}
	return about{
		title:    s.faces.clean(title),
		subject:  s.faces.clean(s.say.Headline().Verdict),
		author:   s.faces.clean(s.rec.Issuer.Name),
		producer: s.faces.clean("reconcile " + s.rec.Program),
		lang:     lang,
		date:     dated(s.rec),
	}
}
