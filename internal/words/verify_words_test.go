package words

import (
	"os"
	"regexp"
	"strings"
	"testing"
	"time"
)

// TestEveryFindingHasASentence: each argument of a code is printed, with all of
// them or none, and only codes of the tables have sentences.
func TestEveryFindingHasASentence(t *testing.T) {
	for _, table := range []struct {
		codes []verifyCode
		words map[string]string
		least int
	}{{fileCodes, fileWords, 55}, {summaryCodes, summaryWords, 27}} {
		seen := map[string]bool{}
		for _, c := range table.codes {
			if seen[c.Code] {
				t.Errorf("%s is twice in the table", c.Code)
			}
			seen[c.Code] = true
			var args []any
			for i, name := range c.Args {
				args = append(args, name, "arg"+string(rune('A'+i)))
			}
			f := OfFinding("not_sound", c.Code, args...)
			text := f.Said
			sane(t, c.Code, text)
			for _, a := range f.Args {
				if !strings.Contains(strings.ToUpper(text), strings.ToUpper(a.Value.(string))) {
					t.Errorf("%s: %s is not said in %q", c.Code, a.Key, text)
				}
			}
			if _, known := table.words[c.Code]; !known {
				t.Errorf("%s has no sentence", c.Code)
			}
		}
		if len(seen) != len(table.words) || len(seen) < table.least {
			t.Errorf("%d codes, %d sentences, at least %d", len(seen), len(table.words), table.least)
		}
	}
}

func finding(code, status string, args ...any) Finding { return OfFinding(status, code, args...) }

func TestVerifySentences(t *testing.T) {
	at := time.Date(2026, 3, 14, 9, 20, 0, 0, time.UTC)
	for _, c := range []struct {
		f    Finding
		want string
	}{
		{finding("id_matches", "ok"), "ok: the file is unchanged since it was made (its hash matches)"},
		{finding("pages_other_version", "not_checked", "program", "2.1.0"), "not checked: the pages: drawn by version 2.1.0, compare them with that version"},
		{finding("not_signed", "not_checked"), "not checked: the file is not signed. Anyone can produce an unsigned summary"},
		{finding("rewritten", "not_sound"), "not sound: written again by another program"},
		{finding("attachment_changed", "not_sound", "file", "tickets.csv", "line", 4), `not sound: "tickets.csv" is not the file that the record was made from (first difference: line 4)`},
		{finding("attachment_changed", "not_sound", "file", "tickets.csv"), `not sound: "tickets.csv" is not the file that the record was made from`},
		{finding("key_differs", "not_sound", "path", "checks[3].limit_kg", "was", `"310"`, "is", `"311"`),
			`not sound: the record does not follow from its readings: checks[3].limit_kg is "310" in the record and "311" when recalculated`},
		{finding("attached_twice", "not_sound", "name", "{most}\n"), `not sound: "{most}\u000a" is attached twice`},
		{finding("signature_intact", "ok", "signature", 1, "signer", "Zoë Ωμέγα", "as", "the inspector\x1b[2J", "bytes", 9, "at", at),
			`ok: signature 1, by "Zoë Ωμέγα", signing as "the inspector\u001b[2J", covers the entire file as it was then (9 bytes); the signer gives the time as 2026-03-14 09:20:00 UTC`},
		{finding("cut_short", "not_sound"), "not sound: an object ends in the middle"},
		{finding("cut_short", "not_sound", "object", 12), "not sound: object 12 ends in the middle"},
		{finding("drawn_not", "not_sound", "what", "page", "page", 2), "not sound: drawn again from the record, the page is not the same (page 2)"},
		{finding("signer_not_trusted", "not_checked", "signature", 1, "signer", "Dome", "fingerprint", "AB", "valid_from", at, "valid_to", at, "why", []string{"none_given", "weak_key"}),
			`not checked: the signer of signature 1, "Dome", is not one you said you trust: no certificate to trust was given; a key in its chain is weaker than RSA 2048 or P-256 ` +
				"(fingerprint AB, valid from 2026-03-14 09:20:00 UTC to 2026-03-14 09:20:00 UTC)"},
	} {
		want(t, c.f.Code, c.f.Said, c.want)
	}
}

// TestOutcomes holds the last lines of verify (contract, section 4).
func TestOutcomes(t *testing.T) {
	broken := []Finding{finding("id_matches", "ok"), finding("rewritten", "not_sound"), finding("no_record", "not_sound")}
	seen := 0
	for code, sentence := range map[string]string{
		"vouched":     "sound, vouched for by Dome Weighing, whom you trust (fingerprint AB12)",
		"signed":      "sound, signed by Dome Weighing (fingerprint AB12), whom you did not say you trust",
		"not_signed":  "sound, not signed",
		"record_only": "pages not checked, because another version drew them; the record is sound, signed by Dome Weighing (fingerprint AB12)",
		"not_sound":   "not sound: written again by another program",
		"not_read":    "could not read: nothing was checked",
	} {
		want(t, code, VerifyOutcome(code, "Dome Weighing", "AB12", broken), sentence)
		if contains(outcomeCodes, code) {
			seen++
		}
	}
	if seen != len(outcomeCodes) {
		t.Errorf("%d of %d outcomes", seen, len(outcomeCodes))
	}
	other := []Finding{finding("other_version", "not_read", "program", "1.0.0", "schema", "reconcile-record/1", "model", 1)}
	want(t, "other version", VerifyOutcome("not_read", "", "", other), "could not read: made by another version (program 1.0.0, schema reconcile-record/1, model 1)")
}

// TestEscape: control, bidi and other format characters are written out
// (contract, section 4); what is plain is unchanged.
func TestEscape(t *testing.T) {
	for in, out := range map[string]string{
		"plain, Ærø ±": "plain, Ærø ±", "": "",
		"a\nb": `a\u000ab`, "a\x1b[2Jb": `a\u001b[2Jb`, "a\u202eb": `a\u202eb`, "a\u200bb": `a\u200bb`, "\u2066x\u2069": `\u2066x\u2069`,
		"a\u00adb": `a\u00adb`, "a\u2028b": `a\u2028b`, "\xff": `\xff`, "a\ufeffb": `a\ufeffb`, "a\U000E0041b": `a\U000e0041b`,
		"a\u0085b": `a\u0085b`, "a~\x7fb": `a~\u007fb`, "tab\there": `tab\u0009here`, "a\u3164b": `a\u3164b`, "a\ue000b": `a\ue000b`, "\ufffd": "\ufffd",
	} {
		if got := Escape(in); got != out {
			t.Errorf("Escape(%q) = %q, want %q", in, got, out)
		}
	}
}

// TestNothingTypedEscapes: text of a form in every sentence that prints one.
func TestNothingTypedEscapes(t *testing.T) {
	const evil = "a\u202eb\x1b[31m"
	w := Of(base(au), nil)
	for i := range w.Record.Readings {
		g := &w.Record.Readings[i]
		g.Ticket, g.OnDeck, g.Scale, g.Site, g.Reading, g.Unit, g.WeighedAt = evil, evil, evil, evil, evil, evil, evil
		g.With = []string{evil}
	}
	w.Record.Loads[0].Load, w.Record.Declared[0].Load, w.Record.Job, w.Record.Issuer.Number, w.Record.Program = evil, evil, evil, evil, evil
	w.Record.Replaces, w.Record.Options.SignedBy = &typedReplaces, &typedSigner
	w.Record.Ratings[0].Source, w.Record.Ratings[0].Value = evil, evil
	said := []string{say(w.readingName(7, "")), w.headline().Replaces, w.headline().Signed, w.headline().Made, say(w.entered(&w.Record.Readings[0])[0]), w.headline().Weighed, w.headline().Sites,
		w.check(&w.Record.Checks[0]).Notes[0], say(ratingValue(w.Record.Ratings[0].Value, w.Record.Ratings[0].Unit)), setHead(evil), say(placeName(evil, "")), VerifyOutcome("signed", evil, evil, nil), finding("attached_twice", "not_sound", "name", evil).Said}
	said = append(said, w.report().Declared...)
	for _, c := range mistakeExamples {
		c.File, c.Line, c.Ticket, c.OnDeck, c.Load, c.Was, c.Should, c.Unit, c.Places = evil, 7, evil, evil, evil, evil, evil, evil, []string{evil}
		said = append(said, w.saidMistake(c))
	}
	said = append(said, w.everyCode(evil)...)
	if len(said) < 80 {
		t.Errorf("only %d sentences", len(said))
	}
	for _, s := range said {
		if strings.IndexFunc(s, unseen) >= 0 {
			t.Errorf("not escaped: %q", s)
		}
	}
}

// TestEveryFileCodeHasASentence reads the codes of package signoff, which knows
// no words: each has its sentence here, and no sentence is without a code.
func TestEveryFileCodeHasASentence(t *testing.T) {
	source, err := os.ReadFile("../signoff/finding.go")
	if err != nil {
		t.Fatal(err)
	}
	var codes []string
	for _, m := range regexp.MustCompile(`(?m)^\t[A-Za-z]+ += "([a-z_]+)"`).FindAllStringSubmatch(string(source), -1) {
		switch m[1] {
		case "ok", "not_checked", "not_sound", "vouched", "signed": // statuses and outcomes
		default:
			codes = addOnce(codes, m[1])
		}
	}
	var said []string
	for code := range fileWords {
		said = append(said, code)
	}
	codes = addOnce(codes, "not_signed") // an outcome's name too
	if got, want := strings.Join(sorted(codes), " "), strings.Join(sorted(said), " "); got != want || len(codes) < 50 {
		t.Errorf("codes of signoff\n%s\nsentences\n%s", got, want)
	}
}
