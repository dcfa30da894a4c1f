package tickets

import "regexp"

// numbering gives the summaries their numbers.
type numbering struct {
	base string // the next one of the line without a job
	last string // the one after the last that a job's own line gave
}

var trailingDigits = regexp.MustCompile(`^(.*?)([0-9]+)$`)

// readIssuer reads the letterhead. The number on the line without a job counts
// up through the jobs in the order of the forms, stopped jobs included, so that
// curing one does not number the others anew; a job's own number holds for it.
func (j *jobReader) readIssuer() {
	row, ok := ownOrShared[issuerRow](j, "issuer.csv")
	if !ok {
		return
	}
	is := &j.job.Issuer
	is.Line = row.Job.line()
	is.Name, is.Address, is.Licence = row.Name.text, row.Address.text, row.Licence.text
	is.Phone, is.Email, is.NextNumber = row.Phone.text, row.Email.text, row.NextNumber.code()
	j.number(is, row.NextNumber)
}

func (j *jobReader) number(is *Issuer, c cell) {
	if c.blank() {
		return
	}
	if !trailingDigits.MatchString(c.text) {
		c.refuse(c.shown()+" does not end in a figure", "a number that can be counted up, like 2026-0042", "")
		return
	}
	shared := c.rec.noJob
	is.Number = c.text
	if shared && j.issued.base != "" {
		is.Number = j.issued.base
	}
	after := countUp(is.Number)
	if shared {
		j.issued.base = after
	} else {
		j.issued.last = after
	}
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
