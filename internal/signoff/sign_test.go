package signoff

import (
	"testing"
)

func TestFirst(t *testing.T) {
	pdf := twice(t)
	d, findings, err := Examine(pdf, nil)
	t.Log(err, len(pdf))
	for _, f := range findings {
		t.Log(f)
	}
	as, err := d.Attachments()
	t.Log(len(as), err)
	texts, err := d.PageTexts()
	t.Log(texts, err)
	p := file(t, "x.pdf", pdf)
	t.Log(run(t, "qpdf", "--check", p))
	t.Log(tool(t, "pdfsig", "-nocert", p))
}
