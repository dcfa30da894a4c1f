package tickets

import (
	"regexp"
	"sync"
)

// readIssuer reads the letterhead. Which number a summary gets, the register of
// what was issued decides.
func (r *Reader) readIssuer(job string) issuer {
	row, ok := oneLine[issuerRow](r, "issuer.csv", job)
	if !ok {
		return issuer{}
	}
	next := row.NextNumber
	if !next.blank() && !trailingDigits().MatchString(next.text) {
		next.refuse(next.shown()+" does not end in a figure", "a number that can be counted up, like 2026-0042", "")
	}
	return issuer{Line: row.Job.line(), Name: row.Name.text, Address: row.Address.text, Licence: row.Licence.text,
		Phone: row.Phone.text, Email: row.Email.text, NextNumber: next.code()}
}

var trailingDigits = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`[0-9]$`) })
