package words

import "reconcile/internal/record"

var (
	typedReplaces = record.Replaces{Number: "a\u202eb", RecordSHA256: "a\u202eb", Because: "a\u202eb\n"}
	typedSigner   = record.Signer{Name: "a\u202eb", Fingerprint: "a\u202eb"}
)

// everyCode says every code with one text in all of its arguments that hold
// what was typed.
func (w *Words) everyCode(typed string) []string {
	args := func(names []string) *record.Args {
		a := argsFor(names)
		a.Name, a.Typed, a.Other, a.Ticket, a.Set, a.File, a.On, a.Column = typed, typed, typed, typed, typed, typed, typed, typed
		a.Names = []string{typed}
		return a
	}
	var all []string
	for _, c := range codes()["do"] {
		w.Record.Do = []record.Do{{Code: c.Code, Args: args(c.Args)}}
		all = append(all, w.headline().DoNow)
	}
	for _, c := range codes()["questions"] {
		w.Record.Questions = nil
		q := add(&w.Record.Questions)
		q.Code, q.File, q.Line, q.Args = c.Code, typed, 7, args(c.Args)
		all = append(all, w.question(0).Full)
	}
	for _, c := range codes()["cannot_be"] {
		all = append(all, w.saidCannotBe(c.Code, typed, typed, "", args(c.Args)))
	}
	for _, c := range codes()["footnotes"] {
		all = append(all, say(w.footnote(record.Note{Code: c.Code, Line: 7, Args: *args(c.Args)})))
	}
	for _, c := range codes()["cautions"] {
		all = append(all, w.saidCaution(record.Note{Code: c.Code, Line: 7, Args: *args(c.Args)}))
	}
	return all
}
