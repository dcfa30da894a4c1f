// Package page is the page for an owner: what is typed on it becomes the forms,
// the core reads them, and what the core says is shown as HTML, each fault and
// question at the field that it belongs to. The page holds no rule, limit or
// sum of its own. A small script tells Go what is typed, and the browser what to
// show; everything else is in Go.
package page

import (
	"encoding/json"
	"errors"
	"io/fs"
	"slices"
	"time"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

// event is something done on the page: an action, where, with what value.
type event struct {
	Do    string        `json:"do"`
	At    string        `json:"at"`
	Value string        `json:"value"`
	Files []record.File `json:"-"`
}

// Reply is what changes on the page.
type Reply struct {
	HTML     [][2]string   // id of an element and what fills it, in this order
	Part     string        // the part in view
	Save     []record.File // for the browser's store; one without bytes is forgotten there
	Download *record.File
	Focus    string // id of the field to go to
	Say      string // read out to who cannot see it
	Print    bool
	Forgot   bool
	// Rest does what takes longer: mistakes and advice, and what is looked at of
	// the plan and the sheet. It asks stop again and again; stopped, it changes
	// nothing and answers with no Part. It is nil where there is nothing more.
	Rest func(stop func() bool) Reply
}

// view is what the page remembers beyond the forms: nothing of it reaches a
// record but the unit of the pages and a region given outside the forms.
type view struct {
	Part   string          `json:"part"`
	Have   string          `json:"have"`
	Unit   string          `json:"unit"`
	Region string          `json:"region"`
	Set    string          `json:"set"`
	Starts []int           `json:"starts"` // lines that begin a slip though their number is that of the one before
	Trial  trial           `json:"trial"`
	Open   map[string]bool `json:"open"`
}

// viewFile is the name under which the view is stored.
const viewFile = "view.json"

// page is one page.
type page struct {
	forms   *forms
	view    view
	sent    map[string]string // HTML by id, as it is on the page
	pieces  map[string]*piece // by id, as last drawn
	drawn   []string          // ids of the pieces of what is being drawn
	shared  string            // what every piece may be drawn from
	inline  bool              // pieces are drawn in their places
	notice  string            // about the last action
	refused bool              // which was not done
	faults  []tickets.Fault
	shown   map[string]bool                             // faults shown at a field, by their text
	job     *tickets.Job                                // nil: none, or stopped
	answer  *record.Record                              // so far, or complete
	beyond  func(stop func() bool) (*flow.Found, error) // goes on from the answer
	result  *flow.Result
	ratings *record.Record // questions of ratings before anything is weighed
	rest    bool           // the rest is still to be done
	warming bool           // a built-in job is to be worked out
	later   later
	cannot  string // why the job could not be derived
	looked  []looked
	now     func() time.Time
	again   bool // fields that are on the page a second time are drawn
}

// New begins a page, on which nothing is typed yet. What it gives does one or more things
// on it and answers with what changes. They are in JSON, as the script has them; files
// are those that come with each.
func New(now func() time.Time) (do func(events []byte, files [][]record.File) (Reply, error)) {
	return newPage(now).doAll
}

// Drawn is an empty page, all of it, as HTML by id, for the file itself: it is there
// before the core has started.
func Drawn(now func() time.Time) map[string]string { return newPage(now).drawAll() }

func newPage(now func() time.Time) *page {
	pg := &page{forms: newForms(), sent: map[string]string{}, pieces: map[string]*piece{}, now: now}
	pg.view = view{Part: "have", Open: map[string]bool{}}
	return pg
}

func (pg *page) doAll(events []byte, files [][]record.File) (Reply, error) {
	var all []event
	if err := json.Unmarshal(events, &all); err != nil {
		return Reply{}, err
	}
	for i := range min(len(all), len(files)) {
		all[i].Files = files[i]
	}
	return pg.do(all), nil
}

func (pg *page) do(events []event) Reply {
	var r Reply
	pg.notice, pg.refused = "", false
	before := len(pg.forms.changed)
	again := false
	for _, e := range events {
		pg.act(e, &r)
		again = again || slices.Contains(rereading, e.Do)
	}
	if again || len(pg.forms.changed) > before {
		pg.read()
	}
	return pg.reply(r)
}

// rereading are the actions after which the core reads the forms again, though
// no form has changed.
var rereading = []string{"restore", "unit", "region", "set-shown", "forget"}

// restore takes up what the browser's store has.
func (pg *page) restore(e event, _ []string, _ *Reply) {
	for _, f := range e.Files {
		if f.Name == viewFile {
			json.Unmarshal(f.Bytes, &pg.view) // a view that cannot be read is a new one
			continue
		}
		pg.forms.put(f.Name, f.Bytes)
	}
	if pg.view.Open == nil {
		pg.view.Open = map[string]bool{}
	}
	pg.forms.changed = map[string]bool{}
}

// options are those of the command line for the same forms.
func (pg *page) options() flow.Options {
	o := flow.Options{Program: flow.Program, Rule: "guarded", Paper: "a4", Set: pg.view.Set}
	if pg.forms.one(outfitForm, "region") == "" {
		o.Region = pg.view.Region
	}
	if pg.view.Unit != "" && pg.view.Unit != regions.Of(pg.region()).PrintIn {
		o.Unit = pg.view.Unit
	}
	return o
}

// region is the one that the forms, or the page, name.
func (pg *page) region() string {
	if r := pg.forms.one(outfitForm, "region"); r != "" {
		return r
	}
	return pg.view.Region
}

// unit is the one in which figures are typed and printed.
func (pg *page) unit() string {
	if pg.view.Unit != "" {
		return pg.view.Unit
	}
	return regions.Of(pg.region()).PrintIn
}

func (pg *page) folder() flow.Folder {
	return flow.Folder{
		Forms: pg.forms.files(),
		CopySize: func(name string) (int64, error) {
			if b, ok := pg.forms.copies[name]; ok {
				return int64(len(b)), nil
			}
			return 0, fs.ErrNotExist
		},
		ReadFile: func(name string) ([]byte, error) {
			if b, ok := pg.forms.copies[name]; ok {
				return b, nil
			}
			return nil, errors.New("not among the files of the page")
		},
	}
}

// read has the core read the forms and begin the answer.
func (pg *page) read() {
	pg.faults, pg.job, pg.beyond, pg.answer, pg.result, pg.ratings, pg.cannot, pg.rest = nil, nil, nil, nil, nil, nil, "", false
	pg.later = later{}
	if len(pg.forms.files()) == 0 {
		return
	}
	weighed := pg.forms.by["tickets.csv"] != nil
	jobs, faults := flow.Read(pg.folder(), pg.options(), weighed).All()
	pg.faults = faults
	switch {
	case len(faults) > 0:
		return
	case len(jobs) != 1:
		pg.cannot = say("these_forms_hold_x_jobs", itoa(len(jobs)))
		return
	}
	pg.job = jobs[0]
	pg.begin(weighed)
}

// begin takes the job as far as its verdict. Before anything is weighed only
// the questions about ratings are of use.
func (pg *page) begin(weighed bool) {
	soFar, beyond, err := flow.Answer(pg.job, pg.folder(), pg.options())
	switch {
	case err != nil && weighed:
		pg.cannot = err.Error()
	case err != nil:
	case weighed:
		pg.answer, pg.beyond, pg.rest = soFar, beyond, true
	default:
		pg.ratings = soFar
	}
}

// record is what there is to say: the complete record, or the answer so far.
func (pg *page) record() *record.Record {
	if pg.answer != nil {
		return pg.answer
	}
	return pg.ratings
}

// words are those of the record, or of the region alone.
func (pg *page) words() *words.Words {
	if r := pg.record(); r != nil {
		return pg.wordsOf(r)
	}
	var r record.Record
	r.Options.Region, r.Options.Unit = pg.region(), pg.unit()
	r.Outfit.TrailerKind, r.Outfit.Travels = pg.kind(), pg.forms.one(outfitForm, "travels")
	return pg.wordsOf(&r)
}

// kind is the kind of trailer.
func (pg *page) kind() string {
	if k := pg.forms.one(outfitForm, "trailer_kind"); k != "" {
		return k
	}
	return "centre_axle"
}

// reply draws everything and keeps what differs from what is on the page.
func (pg *page) reply(r Reply) Reply {
	pg.shown, pg.shared = map[string]bool{}, pg.sharedState()
	if r.Forgot {
		pg.clear(&r)
	}
	pg.change(&r, "nav", pg.drawNav())
	if draw := drawers[pg.view.Part]; draw != nil {
		pg.drawn = nil
		pg.change(&r, pg.view.Part, draw(pg))
		for _, id := range pg.drawn {
			pg.change(&r, id, pg.pieces[id].html)
		}
		pg.forgetPieces()
	}
	pg.change(&r, "answer", pg.drawAnswer())
	pg.change(&r, "line", pg.drawLine())
	r.Part = pg.view.Part
	if pg.rest || pg.warming || pg.wanting() {
		r.Rest = pg.goOn
	}
	r.Save = append(r.Save, pg.saved()...)
	return r
}

// clear empties every part, so that nothing of what was typed stays hidden in
// the page.
func (pg *page) clear(r *Reply) {
	pg.sent, pg.pieces = map[string]string{}, map[string]*piece{}
	for _, part := range sortedKeys(drawers) {
		pg.change(r, part, "")
	}
}

func (pg *page) change(r *Reply, id, text string) {
	if old, known := pg.sent[id]; !known || old != text {
		r.HTML = append(r.HTML, [2]string{id, text})
		pg.sent[id] = text
	}
}

// saved are the files that changed since the last reply, and the view.
func (pg *page) saved() []record.File {
	var all []record.File
	for _, name := range sortedKeys(pg.forms.changed) {
		b, _ := pg.forms.bytesOf(name)
		all = append(all, record.File{Name: name, Bytes: b})
	}
	pg.forms.changed = map[string]bool{}
	b, err := json.Marshal(pg.view)
	if text := string(b); err == nil && text != pg.sent[viewFile] {
		pg.sent[viewFile] = text
		all = append(all, record.File{Name: viewFile, Bytes: b})
	}
	return all
}

// drawers draw the parts.
var drawers = map[string]func(*page) string{
	"have": (*page).drawHave, "plates": (*page).drawPlates, "slip": (*page).drawSlips,
	"whatif": (*page).drawWhatIf, "keep": (*page).drawKeep, "look": (*page).drawLook,
}

// drawAll is the entire page as HTML by id.
func (pg *page) drawAll() map[string]string {
	pg.shown, pg.shared, pg.inline = map[string]bool{}, pg.sharedState(), true
	defer func() { pg.inline = false }()
	all := map[string]string{"answer": pg.drawAnswer(), "line": pg.drawLine(), "nav": pg.drawNav()}
	all["damaged"] = el("p", at{"class", "notice late", "role", "alert"}, say("the_page_does_not_start"))
	for part, draw := range drawers {
		all[part] = draw(pg)
	}
	return all
}
