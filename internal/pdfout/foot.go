package pdfout

import (
	"crypto/sha256"
	"fmt"

	"rsc.io/qr"

	record "reconcile/internal/oldrecord"
)

// module is the side of one square of the code in mm: its 33 modules are
// 18.5 mm wide, and 4 more stay white on every side (ISO/IEC 18004).
const (
	module = 0.56
	quiet  = 4
)

// fingerprint is the record's SHA-256 in upper-case hex digits, which the
// square code holds in its denser alphanumeric mode.
func fingerprint(line []byte) string { return fmt.Sprintf("%X", sha256.Sum256(line)) }

// feet prints the foot of every page, now that their number is known.
func (s *sheet) feet(r *record.Record, hash string) error {
	code, err := qr.Encode("REC:1:"+hash, qr.M)
	if err != nil {
		return fmt.Errorf("square code: %w", err)
	}
	size := float64(code.Size) * module
	square := s.square(code, s.w-side-size, s.h-foot+quiet*module+0.3)
	pages := s.pdf.PageNo()
	for n := 1; n <= pages; n++ {
		s.onPage(n)
		s.foot(r, hash, fmt.Sprintf("page %d of %d", n, pages))
		s.pdf.RawWriteStr(square)
		s.inked = false
	}
	return nil
}

// foot prints what stands left of the square code.
func (s *sheet) foot(r *record.Record, hash, page string) {
	y := s.h - foot
	s.hline(side, s.w-side, y, 0.25, black)
	plain, bold := style{small, false, grey}, style{body, true, black}
	w := s.wide() - 41*module - 2
	s.put(bold, side, y+5, page)
	x := side + s.width(bold, page) + 5
	s.put(plain, x, y+5, s.fit(plain, jobLine(r), side+w-x))
	s.put(plain, side, y+10.5, "SHA-256 of the record, also in the square code:")
	s.put(style{small, false, black}, side, y+14, hash)
	s.put(plain, side, y+18.5, s.fit(plain, "The record is attached to this file as "+RecordName+". Made with reconcile "+r.Program+", model "+count(r.Model)+".", w))
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
func (s *sheet) square(code *qr.Code, x, y float64) string {
	b := []byte("0 0 0 rg\n")
	for row := range code.Size {
		for from := 0; from < code.Size; from++ {
			to := from
			for to < code.Size && code.Black(to, row) {
				to++
			}
			if to > from {
				b = fmt.Appendf(b, "%.3f %.3f %.3f %.3f re\n", (x+float64(from)*module)/mm, (s.h-y-float64(row+1)*module)/mm, float64(to-from)*module/mm, module/mm)
				from = to
			}
		}
	}
	return string(append(b, 'f'))
}
