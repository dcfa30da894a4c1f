package tickets

import (
	"cmp"
	"regexp"
)

// numbering gives the summaries their numbers.
type numbering struct {
	base string // the next one of the line without a job
	last string // the one after the last that a job's own line gave
}

var trailingDigits = regexp.MustCompile(`^(.*?)([0-9]+)$`)

// readIssuer reads the letterhead. The number on the line without a job counts
// up through the jobs in the order of the forms, stopped jobs included, so that
// curing one does not number the others anew; a job's own number holds for it.
func (r *Reader) readIssuer(job string) Issuer {
	row, ok := oneLine[issuerRow](r, "issuer.csv", job)
	if !ok {
		return Issuer{}
	}
	return Issuer{Line: row.Job.line(), Name: row.Name.text, Address: row.Address.text, Licence: row.Licence.text,
		Phone: row.Phone.text, Email: row.Email.text, NextNumber: row.NextNumber.code(), Number: r.issued.number(row.NextNumber)}
}

// number gives a job its number.
func (n *numbering) number(c cell) string {
	if c.blank() {
		return ""
	}
	if !trailingDigits.MatchString(c.text) {
		c.refuse(c.shown()+" does not end in a figure", "a number that can be counted up, like 2026-0042", "")
		return ""
	}
	if !c.rec.shared {
		n.last = countUp(c.text)
		return c.text
	}
	number := cmp.Or(n.base, c.text)
	n.base = countUp(number)
	return number
}

// countUp adds one to the figure at the end of a number and keeps its width.
func countUp(number string) string {
	digits := []byte(number)
	i := len(digits) - 1
	for ; i >= 0 && digits[i] >= '0' && digits[i] <= '9'; i-- {
		if digits[i] != '9' {
			digits[i]++
			return string(digits)
		}
		digits[i] = '0'
	}
	head, tail := string(digits[:i+1]), string(digits[i+1:])
	return head + "1" + tail
}
