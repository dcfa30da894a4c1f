package tickets

import (
	"regexp"
	"sync"
)

// readIssuer reads the letterhead of a job. That of the lines for every job is
// read once.
func (r *Reader) readIssuer(job string) issuer {
	f := r.forms[issuerForm]
	switch {
	case f == nil:
		return issuer{}
	case len(f.byJob[job]) > 0:
		return readIssuerRow(oneLine(r, &r.before.issuers, issuerForm, job))
	case r.letterhead == nil:
		of := readIssuerRow(oneLine(r, &r.before.issuers, issuerForm, job))
		r.letterhead = &of
	}
	return *r.letterhead
}

// readIssuerRow reads a letterhead. Which number a summary gets, the register of
// what was issued decides.
func readIssuerRow(row *issuerRow) issuer {
	if row == nil {
		return issuer{}
	}
	next := row.NextNumber
	if !next.blank() && !trailingDigits().MatchString(next.text()) {
		next.refuse(next.shown()+" does not end in a figure", "a number that can be counted up, like 2026-0042", "")
	}
	return issuer{Line: row.Job.line(), Name: row.Name.text(), Address: row.Address.text(), Licence: row.Licence.text(),
		Phone: row.Phone.text(), Email: row.Email.text(), NextNumber: next.code()}
}

var trailingDigits = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`[0-9]$`) })
