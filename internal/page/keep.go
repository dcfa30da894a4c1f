package page

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
	"time"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/signoff"
	"reconcile/internal/tickets"
)

// The bounds of what is opened: the core's own are tighter.
const (
	mostOpened  = 64 << 20
	mostEntries = 200
)

func (pg *page) drawKeep() string {
	inside := heading("keep", say("keep_it")) + pg.drawNotice()
	if pg.answer != nil {
		inside += el("section", at{"class", "panel"}, el("h3", nil, say("the_summary")),
			p("help", say("the_pdf_holds_the_forms")),
			el("p", nil, button("main", "pdf", "", "", say("save_the_pdf"))),
			el("details", at{"data-open", "sign", "open", when(pg.view.Open["sign"], "")}, el("summary", nil, say("sign_it")),
				p("help", say("pick_your_key_file_and")),
				el("div", at{"class", "row"}, pg.field(input{do: "hold-key", at: "key", label: say("key_file_p12"), kind: "key"}), pg.field(input{do: "hold-password", at: "password", label: say("its_password"), kind: "password"})),
				el("p", nil, el("button", at{"type", "button", "data-do", "sign", "data-files", fieldID("hold-key", "key"), "data-secret", fieldID("hold-password", "password")}, say("save_the_pdf_signed")))))
	} else {
		inside += p("help", say("a_summary_can_be_saved"))
	}
	if len(pg.forms.files()) > 0 {
		inside += el("section", at{"class", "panel"}, el("h3", nil, say("the_forms")),
			p("help", say("one_file_with_all_that")),
			el("p", nil, button("main", "zip", "", "", say("save_the_forms_zip"))),
			el("ul", at{"class", "files"}, pg.fileList()))
	}
	inside += el("section", at{"class", "panel"}, el("h3", nil, say("open")),
		pg.field(input{do: "files", at: "keep", label: say("open_forms_zip_or_csv"), kind: "files", help: say("what_is_on_the_page")}))
	return inside + el("section", at{"class", "panel"}, el("h3", nil, say("forget")), p("help", say("takes_everything_that_you_typed")),
		el("p", nil, button("danger", "forget", "", "", say("forget_everything"))))
}

func (pg *page) fileList() string {
	s := ""
	for _, name := range pg.forms.names() {
		s += el("li", nil, esc(name))
	}
	return s
}

// whole is the complete result: what is kept never rests on the answer alone.
func (pg *page) whole(o flow.Options) (*flow.Result, error) {
	if pg.job == nil {
		return nil, fmt.Errorf("there is no answer to keep")
	}
	found, err := flow.Find(pg.job, pg.folder(), o, nil)
	if err != nil {
		return nil, err
	}
	return found.Result(o)
}

func (pg *page) doPDF(_ event, _ []string, r *Reply) {
	result, err := pg.whole(pg.options())
	if err != nil {
		pg.refuse(err.Error())
		return
	}
	pdf, _, err := result.Summary(nil)
	if err != nil {
		pg.refuse(err.Error())
		return
	}
	r.Download = &record.File{Name: "summary.pdf", Bytes: pdf}
	pg.notice = say("the_pdf_is_saved_among")
}

// doSheet saves the sheet to take to the weighbridge.
func (pg *page) doSheet(_ event, _ []string, r *Reply) {
	if pg.job == nil {
		return
	}
	plan, err := flow.PlanVisit(pg.job, pg.options(), nil)
	if err != nil {
		pg.refuse(sentence(err.Error()))
		return
	}
	pdf, _, err := flow.Sheet(pg.job, plan, pg.options())
	if err != nil {
		pg.refuse(sentence(err.Error()))
		return
	}
	r.Download = &record.File{Name: "sheet.pdf", Bytes: pdf}
}

// doRecord gives the record alone, as the command line prints it.
func (pg *page) doRecord(_ event, _ []string, r *Reply) {
	if result, err := pg.whole(pg.options()); err == nil {
		r.Download = &record.File{Name: "record.json", Bytes: result.Line}
	}
}

// signingReason is what a signature says of itself, as on the command line.
const signingReason = "weighing summary"

// doSign makes the summary and signs it, as the command line does in one run.
func (pg *page) doSign(e event, _ []string, r *Reply) {
	if len(e.Files) == 0 {
		pg.refuse(say("pick_the_key_file_first"))
		return
	}
	key, err := signoff.LoadSigningKey(e.Files[0].Bytes, e.Value)
	if err != nil {
		pg.refuse(sentence(err.Error()))
		return
	}
	o := pg.options()
	o.Issued = pg.now().Format(time.DateOnly)
	o.SignedBy = &record.Signer{Name: key.Name, Fingerprint: key.Fingerprint}
	signed, err := pg.signed(o, key)
	if err != nil {
		pg.refuse(sentence(err.Error()))
		return
	}
	r.Download = &record.File{Name: "summary.pdf", Bytes: signed}
	pg.notice = say("the_pdf_is_signed_by", key.Name)
}

func (pg *page) signed(o flow.Options, key *signoff.SigningKey) ([]byte, error) {
	result, err := pg.whole(o)
	if err != nil {
		return nil, err
	}
	pdf, _, err := result.Summary(nil)
	if err != nil {
		return nil, err
	}
	return signoff.Sign(pdf, key, pg.now(), signingReason)
}

// zipped is the time that every entry of a .zip has: the same forms give the
// same bytes.
var zipped = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

func (pg *page) doZip(_ event, _ []string, r *Reply) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range pg.forms.names() {
		content, _ := pg.forms.bytesOf(name)
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: zipped})
		if err == nil {
			_, err = w.Write(content)
		}
		if err != nil {
			pg.refuse(err.Error())
			return
		}
	}
	if err := z.Close(); err != nil {
		pg.refuse(err.Error())
		return
	}
	r.Download = &record.File{Name: "forms.zip", Bytes: b.Bytes()}
	pg.notice = say("the_forms_are_saved_among")
}

// doFiles opens forms, a .zip of them, or a summary.
func (pg *page) doFiles(e event, _ []string, r *Reply) {
	files, err := opened(e.Files)
	if err == nil && !slices.ContainsFunc(files, func(f record.File) bool { return slices.Contains(tickets.FormNames(), f.Name) }) {
		err = fmt.Errorf("there is no form among them (want one of %s)", strings.Join(tickets.FormNames(), ", "))
	}
	if err != nil {
		pg.refuse(say("not_opened_x", err.Error()))
		return
	}
	for _, name := range pg.forms.names() {
		pg.forms.drop(name)
	}
	pg.view = view{Part: "answer", Have: "slip", Open: map[string]bool{}}
	for _, f := range files {
		if f.Name == optionsFile {
			pg.takeOptions(f.Bytes)
			continue
		}
		pg.forms.put(f.Name, f.Bytes)
	}
	if pg.forms.by[ticketsForm] == nil {
		pg.view.Part, pg.view.Have = "plates", "plates"
	}
	r.Focus = "part-" + pg.view.Part
	pg.notice = say("opened_x", strings.Join(pg.forms.names(), ", "))
}

// optionsFile is the record of a summary that was opened: it says with which
// choices it was made.
const optionsFile = "record.json"

func (pg *page) takeOptions(line []byte) {
	if r, err := record.Parse(line, 0); err == nil {
		pg.view.Unit, pg.view.Region, pg.view.Set = r.Options.Unit, r.Options.Region, r.Options.Set
	}
}

// opened unpacks files: entries of a .zip, attachments of a PDF, and forms
// as they are.
func opened(files []record.File) ([]record.File, error) {
	var all []record.File
	for _, f := range files {
		some := []record.File{f}
		var err error
		switch {
		case bytes.HasPrefix(f.Bytes, []byte("PK\x03\x04")):
			some, err = unzipped(f.Bytes)
		case bytes.HasPrefix(f.Bytes, []byte("%PDF-")):
			some, err = attached(f.Bytes)
		}
		if err != nil {
			return nil, fmt.Errorf("%q: %w", f.Name, err)
		}
		all = append(all, some...)
	}
	for i := range all {
		if name := strings.ToLower(path.Base(all[i].Name)); slices.Contains(tickets.FormNames(), name) {
			all[i].Name = name
		} else {
			all[i].Name = path.Base(strings.ReplaceAll(all[i].Name, `\`, "/"))
		}
	}
	return all, nil
}

func unzipped(b []byte) ([]record.File, error) {
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		return nil, err
	}
	if len(z.File) > mostEntries {
		return nil, fmt.Errorf("it has %d entries (at most %d)", len(z.File), mostEntries)
	}
	var all []record.File
	left := int64(mostOpened)
	for _, entry := range z.File {
		base := path.Base(entry.Name)
		if entry.FileInfo().IsDir() || strings.HasPrefix(base, ".") || strings.HasPrefix(entry.Name, "__MACOSX/") {
			continue
		}
		r, err := entry.Open()
		if err != nil {
			return nil, err
		}
		content, err := io.ReadAll(io.LimitReader(r, left+1))
		r.Close()
		if left -= int64(len(content)); err == nil && left < 0 {
			err = fmt.Errorf("it unpacks to more than %d bytes", mostOpened)
		}
		if err != nil {
			return nil, err
		}
		all = append(all, record.File{Name: base, Bytes: content})
	}
	return all, nil
}

// attached are the files in a summary. What is wrong with one is said as it is said of
// a summary that is looked at.
func attached(pdf []byte) ([]record.File, error) {
	e, err := signoff.Examine(pdf, nil)
	if err != nil || e.Document == nil || e.Document.NotRead != nil {
		return nil, errors.New(flow.Verify(pdf, nil).Last)
	}
	var all []record.File
	for _, f := range e.Document.Attached {
		if f.Name != record.EarlierFile {
			all = append(all, record.File{Name: f.Name, Bytes: f.Bytes})
		}
	}
	return all, nil
}

// doForget takes everything out of the page, and out of the browser's store.
func (pg *page) doForget(_ event, _ []string, r *Reply) {
	pg.forms = newForms()
	pg.view = view{Part: "have", Open: map[string]bool{}}
	pg.looked = nil
	r.Forgot, r.Focus = true, "part-have"
	pg.notice = say("everything_is_forgotten")
}
