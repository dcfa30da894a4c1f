package words

import (
	"strings"
	"testing"
)

// TestEveryFindingHasASentence: each argument of a code is printed, and only
// codes of the table have sentences.
func TestEveryFindingHasASentence(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range VerifyCodes {
		if seen[c.Code] {
			t.Errorf("%s is twice in the table", c.Code)
		}
		seen[c.Code] = true
		args := map[string]string{}
		for i, name := range c.Args {
			args[name] = "arg" + string(rune('A'+i))
		}
		text := VerifyWhat(Finding{c.Code, c.Status, args})
		sane(t, c.Code, text)
		for _, value := range args {
			if !strings.Contains(strings.ToUpper(text), strings.ToUpper(value)) {
				t.Errorf("%s: %s is not said in %q", c.Code, value, text)
			}
		}
		sane(t, c.Code, VerifyFinding(Finding{c.Code, c.Status, args}))
		if _, known := verifyWords[c.Code]; !known {
			t.Errorf("%s has no sentence", c.Code)
		}
	}
	if len(seen) != len(verifyWords) || len(seen) < 50 {
		t.Errorf("%d codes, %d sentences", len(seen), len(verifyWords))
	}
}

func TestVerifySentences(t *testing.T) {
	for _, c := range []struct {
		f    Finding
		want string
	}{
		{Finding{"bytes_same", StatusOK, nil}, "ok: the file is unchanged since it was made (its hash matches)"},
		{Finding{"pages_other_version", StatusUnchecked, map[string]string{"program": "2.1.0"}}, "not checked: the pages: drawn by version 2.1.0, compare them with that version"},
		{Finding{"not_signed", StatusUnchecked, nil}, "not checked: the file is not signed. Anyone can produce an unsigned summary"},
		{Finding{"written_again", StatusUnsound, nil}, "not sound: written again by another program"},
		{Finding{"attachment_changed", StatusUnsound, map[string]string{"file": "tickets.csv", "line": "4"}}, `not sound: "tickets.csv" is not the file that the record was made from (first difference: line 4)`},
		{Finding{"attachment_changed", StatusUnsound, map[string]string{"file": "tickets.csv"}}, `not sound: "tickets.csv" is not the file that the record was made from`},
		{Finding{"key_differs", StatusUnsound, map[string]string{"path": "checks[3].limit_kg", "was": `"310"`, "is": `"311"`}},
			`not sound: the record does not follow from its readings: checks[3].limit_kg is "310" in the record and "311" when recalculated`},
	} {
		want(t, c.f.Code, VerifyFinding(c.f), c.want)
	}
}

// TestOutcomes holds the last lines of verify (contract, section 4).
func TestOutcomes(t *testing.T) {
	broken := []Finding{{"bytes_same", StatusOK, nil}, {"written_again", StatusUnsound, nil}, {"no_record", StatusUnsound, nil}}
	for code, sentence := range map[string]string{
		"sound_trusted":  "sound, vouched for by Dome Weighing, whom you trust (fingerprint AB12)",
		"sound_signed":   "sound, signed by Dome Weighing (fingerprint AB12), whom you did not say you trust",
		"sound_unsigned": "sound, not signed",
		"not_sound":      "not sound: written again by another program",
		"not_read":       "could not read: nothing was checked",
	} {
		want(t, code, VerifyOutcome(code, "Dome Weighing", "AB12", broken), sentence)
	}
	if len(OutcomeCodes) != 5 {
		t.Errorf("%d outcomes, 5 tested", len(OutcomeCodes))
	}
	other := []Finding{{"other_version", StatusUnread, map[string]string{"program": "1.0.0", "schema": "reconcile-record/1", "model": "1"}}}
	want(t, "other version", VerifyOutcome("not_read", "", "", other), "could not read: made by another version (program 1.0.0, schema reconcile-record/1, model 1)")
}

// TestEscape: control, bidi and other format characters are written out
// (contract, section 4); what is plain is unchanged.
func TestEscape(t *testing.T) {
	for in, out := range map[string]string{
		"plain, Ærø ±": "plain, Ærø ±", "": "",
		"a\nb": `a\nb`, "a\x1b[2Jb": `a\u{1b}[2Jb`, "a\u202eb": `a\u{202e}b`, "a\u200bb": `a\u{200b}b`, "\u2066x\u2069": `\u{2066}x\u{2069}`,
		"a\u00adb": `a\u{ad}b`, "a\u2028b": `a\u{2028}b`, "\xff": `\xff`, "a\ufeffb": `a\u{feff}b`, "a\U000E0041b": `a\u{e0041}b`,
		"a\u0085b": `a\u{85}b`, "tab\there": `tab\there`, "a\u3164b": `a\u{3164}b`, "\ufffd": "\ufffd",
	} {
		if got := Escape(in); got != out {
			t.Errorf("Escape(%q) = %q, want %q", in, got, out)
		}
	}
}

// TestNothingTypedEscapes: text of a form in every sentence that prints one.
func TestNothingTypedEscapes(t *testing.T) {
	const evil = "a\u202eb\x1b[31m"
	w := Of(base(au))
	for i := range w.r.Readings {
		g := &w.r.Readings[i]
		g.Ticket, g.OnDeck, g.Scale, g.Site, g.Reading, g.Unit, g.WeighedAt = evil, evil, evil, evil, evil, evil, evil
		g.With = []string{evil}
	}
	w.r.Loads[0].Load, w.r.Declared[0].Load, w.r.Job, w.r.Issuer.Number, w.r.Program = evil, evil, evil, evil, evil
	w.r.Replaces, w.r.Options.SignedBy = &record_Replaces, &record_Signer
	w.r.Ratings[0].Source, w.r.Ratings[0].Value = evil, evil
	said := []string{w.ReadingName(7, ""), w.ReplacesText(), w.SignedText(), w.JobLine(), w.MadeLine("record.json"), Entered(w.r.Readings[0]), w.WeighedWhen(), w.WeighedWhere(),
		w.Notes(w.r.Checks[0])[0], w.RatingValue(w.r.Ratings[0]), SetHead(evil), PlaceName(evil, ""), VerifyOutcome("sound_signed", evil, evil, nil), VerifyFinding(Finding{"attached_twice", StatusUnsound, map[string]string{"file": evil}})}
	said = append(said, w.Declared()...)
	for _, c := range mistakeExamples {
		c.File, c.Line, c.Ticket, c.OnDeck, c.Load, c.Was, c.Should, c.Unit, c.Places = evil, 7, evil, evil, evil, evil, evil, evil, []string{evil}
		said = append(said, w.Mistake(c))
	}
	said = append(said, w.everyCode(evil)...)
	if len(said) < 80 {
		t.Errorf("only %d sentences", len(said))
	}
	for _, s := range said {
		if strings.IndexFunc(s, hidden) >= 0 {
			t.Errorf("not escaped: %q", s)
		}
	}
}
