package flow

import (
	"regexp"
	"slices"
	"strconv"
	"sync"

	"reconcile/internal/record"
	"reconcile/internal/signoff"
	"reconcile/internal/words"
)

// inside looks into a file that has not the form of a summary, as far as it can
// be read. One of another version may be right in its own form. One that
// another program has written again stays not sound, but what is in it can
// still be reported: whether the record follows from the forms, its hash, and which
// form was changed.
func (v *verification) inside(pdf []byte, rewritten bool) {
	files, err := signoff.Attachments(pdf)
	if err != nil {
		if rewritten {
			v.refused(err)
		}
		return
	}
	before := len(v.found)
	if !v.take(files) || !v.version() || !rewritten {
		if !rewritten && !v.ofOtherVersion() {
			v.found = v.found[:before]
		}
		return
	}
	if !v.read() || !v.given() {
		return
	}
	if !v.named() {
		v.whichLine()
		return
	}
	v.derive()
}

func (v *verification) ofOtherVersion() bool {
	return slices.ContainsFunc(v.found, func(f words.Finding) bool { return f.Code == "other_version" })
}

// whichLine adds to a form that is not the one of the record the first line
// that the record says otherwise. A hash does not say where: the readings and
// the ratings that the record repeats do, and so does a fault of the form.
func (v *verification) whichLine() {
	last := v.found[len(v.found)-1]
	if last.Code != "attachment_changed" {
		return
	}
	form := last.Args[0].Value.(string) // its file
	if line := v.changedLine(form); line > 0 {
		v.found[len(v.found)-1] = words.OfFinding(last.Status, last.Code, "file", form, "line", line)
	}
}

// changedLine is 0 where it is not known.
func (v *verification) changedLine(form string) int {
	found := len(v.found)
	defer func() { v.found = v.found[:found] }()
	folder, err := v.folder()
	if err != nil {
		return 0
	}
	o := v.old.Options
	_, faults := Read(folder, Options{Region: o.Region, Set: o.Set}, true).All()
	for _, f := range faults {
		if f.File == form {
			return f.Line
		}
	}
	if len(faults) > 0 || !v.rederive() {
		return 0
	}
	return firstLine(form, v.old, v.again.Record)
}

// typed are the keys of readings and ratings that repeat what a form says.
var typed = sync.OnceValue(func() map[string]*regexp.Regexp {
	return map[string]*regexp.Regexp{
		"tickets.csv": regexp.MustCompile(`^readings\[([0-9]+)\](|\.(line|column|ticket|setup|hitch|on_deck|weighed_at|scale|reading|unit|without|with|people|vehicle_id|trailer_id|copy|note))$`),
		"ratings.csv": regexp.MustCompile(`^ratings\[([0-9]+)\](|\.(line|rating|on|value|unit|kind|when|set|source|certificate|certified_on|note))$`),
	}
})

// firstLine is the first line of a form of which two records say other things;
// 0: they repeat none.
func firstLine(form string, was, is *record.Record) int {
	key, ok := typed()[form]
	if !ok {
		return 0
	}
	for _, d := range record.Differences(was, is) {
		m := key.FindStringSubmatch(d.Path)
		if m == nil {
			continue
		}
		i, _ := strconv.Atoi(m[1])
		for _, r := range []*record.Record{is, was} {
			switch {
			case form == "tickets.csv" && i < len(r.Readings):
				return r.Readings[i].Line
			case form == "ratings.csv" && i < len(r.Ratings):
				return r.Ratings[i].Line
			}
		}
	}
	return 0
}
