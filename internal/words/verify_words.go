package words

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// OfFinding says a finding; its arguments are given as key, value, key, value.
func OfFinding(status, code string, args ...any) Finding {
	f := Finding{Code: code, Status: status}
	for i := 0; i+1 < len(args); i += 2 {
		f.Args = append(f.Args, arg{args[i].(string), args[i+1]})
	}
	f.What = say(verifyWhat(code, f.Args))
	f.Said = say(verifyStatus(status) + ": " + f.What)
	return f
}

func verifyWhat(code string, args []arg) string {
	template := fileWords[code]
	if template == "" {
		template = summaryWords[code]
	}
	if template == "" {
		return codeWord(code)
	}
	texts := map[string]string{}
	for _, a := range args {
		texts[a.Key] = argText(a)
	}
	return fill(template, texts)
}

// verifyStatus says what a finding means for the file.
func verifyStatus(status string) string {
	switch status {
	case "ok":
		return say("ok")
	case "not_checked":
		return say("not checked")
	case "not_sound":
		return say("not sound")
	}
	return say("could not read")
}

// VerifyOutcome is the last line of verify. name and fingerprint are those of
// the best signature; findings say what is not sound, or cannot be read.
func VerifyOutcome(code, name, fingerprint string, findings []Finding) string {
	switch code {
	case "vouched":
		return say("sound, vouched for by " + name + ", whom you trust (fingerprint " + fingerprint + ")")
	case "signed":
		return say("sound, signed by " + name + " (fingerprint " + fingerprint + "), whom you did not say you trust")
	case "not_signed":
		return say("sound, not signed")
	case "record_only":
		return say("pages not checked, because another version drew them; the record is sound, " + signedText(name, fingerprint))
	case "not_sound":
		return say("not sound: " + firstWith(findings, "not_sound"))
	}
	return say("could not read: " + firstWith(findings, "not_read"))
}

// signedText says who signed a file of which only the record is checked.
func signedText(name, fingerprint string) string {
	if name == "" {
		return "not signed"
	}
	return "signed by " + name + " (fingerprint " + fingerprint + ")"
}

// firstWith says the first finding of a status.
func firstWith(findings []Finding, status string) string {
	at := slices.IndexFunc(findings, func(f Finding) bool { return f.Status == status })
	if at < 0 {
		return "nothing was checked"
	}
	return findings[at].What
}

// fill puts arguments into a sentence: {key}, {an:key} and {?key:TEXT}.
func fill(template string, args map[string]string) string {
	var b strings.Builder
	for {
		before, rest, found := strings.Cut(template, "{")
		b.WriteString(before)
		if !found {
			return b.String()
		}
		slot, after, _ := strings.Cut(rest, "}")
		template = after
		b.WriteString(slotText(slot, args))
	}
}

func slotText(slot string, args map[string]string) string {
	name, text, optional := strings.Cut(strings.TrimPrefix(slot, "?"), ":")
	switch {
	case name == "an" && args[text] == "":
		return "an " + text
	case name == "an":
		return text + " " + args[text]
	case !optional:
		return args[name]
	case args[name] == "":
		return ""
	}
	return strings.Replace(text, "_", args[name], 1)
}

// argText prints an argument: names of the file in quotes, codes in words, a
// time as UTC, everything else as it is.
func argText(a arg) string {
	switch v := a.Value.(type) {
	case nil:
		return ""
	case time.Time:
		return v.UTC().Format("2006-01-02 15:04:05 UTC")
	case []string:
		var all []string
		for _, code := range v {
			all = append(all, verifyWhat(code, nil))
		}
		return strings.Join(all, "; ")
	}
	text := fmt.Sprint(a.Value)
	switch a.Key {
	case "signer", "as", "name", "key", "producer", "file", "job":
		if text != "" {
			return quoted(text)
		}
	}
	return text
}
