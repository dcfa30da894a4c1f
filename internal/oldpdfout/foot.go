package oldpdfout

import (
	"crypto/sha256"
	"fmt"

	"rsc.io/qr"

	record "reconcile/internal/oldrecord"
)

// module is the side of one square of the code: its 33 modules are 18.6 mm
// wide, and 4 more stay white on every side (ISO/IEC 18004).
const (
	module = 1.6 * pt
	quiet  = 4
)

// fingerprint is the record's SHA-256 in upper-case hex digits, which the
// square code holds in its denser alphanumeric mode.
func fingerprint(line []byte) string { return fmt.Sprintf("%X", sha256.Sum256(line)) }

// footers prints the foot of every page, now that their number is known.
func (s *sheet) footers(r *record.Record, hash string) error {
	code, err := qr.Encode("REC:1:"+hash, qr.M)
	if err != nil {
		return fmt.Errorf("square code: %w", err)
	}
	size := length(code.Size) * module
	square := s.square(code, s.w-side-size, s.h-foot+quiet*module+1*pt)
	pages := s.pdf.PageNo()
	for n := 1; n <= pages; n++ {
		s.onPage(n)
		s.foot(r, hash, fmt.Sprintf("page %d of %d", n, pages))
		s.pdf.RawWriteStr(square)
		s.now = state{}
	}
	return nil
}

// foot prints what stands left of the square code.
func (s *sheet) foot(r *record.Record, hash, page string) {
	y := s.h - foot
	s.hline(side, s.w-side, y, 0.7*pt, black)
	plain, bold := style{sizeSmall, false, grey}, style{sizeBody, true, black}
	w := s.wide() - 41*module - 6*pt
	s.put(bold, side, y+14*pt, page)
	x := side + s.width(bold, page) + 14*pt
	s.put(plain, x, y+14*pt, s.fit(plain, jobLine(r), side+w-x))
	s.put(plain, side, y+30*pt, "SHA-256 of the record, also in the square code:")
	s.put(style{sizeSmall, false, black}, side, y+40*pt, hash)
	s.put(plain, side, y+53*pt, s.fit(plain, "The record is attached to this file as "+RecordName+". Made with reconcile "+r.Program+", model "+count(r.Model)+".", w))
}

// jobLine names the job and its number.
func jobLine(r *record.Record) string {
	line := "job " + r.Job
	if r.Job == "" {
		line = "job without a name"
	}
	if r.Issuer.Number != "" {
		line = "number " + r.Issuer.Number + " · " + line
	}
	return line
}

// square is the content that draws the code's dark modules, level runs of them
// as one rectangle. It is the same on every page.
func (s *sheet) square(code *qr.Code, x, y length) string {
	b := []byte("0 0 0 rg\n")
	for row := range code.Size {
		for from := 0; from < code.Size; from++ {
			to := from
			for to < code.Size && code.Black(to, row) {
				to++
			}
			if to > from {
				b = s.appendBox(b, x+length(from)*module, y+length(row)*module, length(to-from)*module, module)
				from = to
			}
		}
	}
	return string(append(b, 'f'))
}
