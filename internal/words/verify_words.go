package words

import (
	"slices"
	"strings"
)

// verifyWords are the sentences of the findings; {name} is an argument, {?name}
// and what follows it up to the next } is left out where that is blank.
var verifyWords = map[string]string{
	"cannot_open":           "the file cannot be opened: {why}",
	"empty":                 "the file is empty",
	"not_a_file":            "it is not a plain file (a pipe or a device)",
	"too_large":             "the file is larger than {most}",
	"not_pdf":               "the file is not a PDF: it does not begin with %PDF-",
	"other_version":         "made by another version (program {program}, schema {schema}, model {model})",
	"not_ours":              "it is not a summary of this program{?why: (_)}",
	"written_again":         "written again by another program",
	"took_too_long":         "checking it takes longer than any summary of this program would",
	"loose_bytes":           "{bytes} bytes from byte {at} of the file belong to no part of a summary",
	"object_order":          "object {object} at byte {at} is not where this program writes it",
	"object_differs":        "object {object} holds something else than the pages and files drawn again",
	"object_extra":          "object {object} does not belong to a summary",
	"object_missing":        "object {object} of a summary is missing",
	"table_wrong":           "the table of objects at byte {at} does not match the file",
	"second_table":          "a second table of objects, at byte {at}, does not belong to a signature",
	"linearised":            "the first object claims a linearised file, which a reader may show differently",
	"identifier_wrong":      "the file was changed after it was made: its hash does not match the identifier in it",
	"addition":              "{bytes} bytes were added after byte {at} that are not a signature of this program{?why: (_)}",
	"bytes_same":            "the file is unchanged since it was made (its hash matches)",
	"packing_differs":       "only the packing differs (another build made it); every byte is accounted for",
	"attachments_unread":    "the attached files cannot be read: {why}",
	"attached_twice":        "{file} is attached twice",
	"no_record":             "no record is attached, so it is not a summary of this program",
	"attachment_missing":    "{file} is named in the record and not attached",
	"attachment_changed":    "{file} is not the file that the record was made from{?line: (first difference: line _)}",
	"attachment_unnamed":    "{file} is attached and not named in the record",
	"attachments_same":      "the {number} attached files are those that the record names",
	"record_unread":         "the record cannot be read: {why}",
	"record_not_ours":       "the record is not written as this program writes it",
	"record_too_long":       "the list {path} of the record is longer than its forms can make",
	"forms_faulty":          "the record does not follow from its readings: the attached forms have faults: {why}",
	"other_job":             "the record does not follow from its readings: the attached forms do not hold job {job} alone",
	"number_impossible":     "number {number} is not one that the attached issuer.csv can have given",
	"key_differs":           "the record does not follow from its readings: {path} is {was} in the record and {is} when recalculated",
	"record_follows":        "recalculated from the attached readings, the record is the same, byte for byte (job {job}, version {program}, SHA-256 {sha256})",
	"pages_differ":          "the pages do not show the record{?page: (page _)}",
	"pages_undrawn":         "the pages cannot be drawn again: {why}",
	"pages_other_version":   "the pages: drawn by version {program}, compare them with that version",
	"pages_same":            "drawn again from the record, the pages are the same",
	"signature_broken":      "signature {number}, by {name}, is not valid: {why}",
	"signature_covers_part": "signature {number}, by {name}, covers only the first {bytes} bytes",
	"signature_intact":      "signature {number}, by {name}{?signer:, signing as _}, covers the entire file as it was then ({bytes} bytes); the signer states the time {at}",
	"not_signed":            "the file is not signed. Anyone can produce an unsigned summary",
	"signer_not_asked":      "the signer {name}: no certificate was given to check against",
	"signer_not_chained":    "the signer {name}: the certificate is not one of those given and does not chain to one",
	"signer_purpose":        "the signer {name}: the certificate is restricted to other purposes",
	"signer_key_small":      "the signer {name}: the key of {subject} is too small ({key}; wanted RSA 2048 or P-256)",
	"signer_high_s":         "the signer {name}: the signature has a second form with the same content, which is not accepted",
	"signer_not_valid":      "the signer {name}: the certificate was not valid at the stated time {at} (valid {valid_from} to {valid_to})",
	"signer_trusted":        "the signer {name} is trusted through a certificate given",
	"replaced_by":           "it was amended: number {number} replaces it{?file: (_)}",
}

// VerifyFinding says one finding with its status before it: "ok: the file is
// unchanged since it was made (its hash matches)".
func VerifyFinding(f Finding) string { return say(VerifyStatus(f.Status) + ": " + VerifyWhat(f)) }

// VerifyWhat says what was found, without the status.
func VerifyWhat(f Finding) string {
	template, known := verifyWords[f.Code]
	if !known {
		return say(codeWord(f.Code))
	}
	return say(fill(template, f.Args))
}

// VerifyStatus says what a finding means for the file.
func VerifyStatus(status string) string {
	switch status {
	case StatusOK:
		return say("ok")
	case StatusUnchecked:
		return say("not checked")
	case StatusUnsound:
		return say("not sound")
	}
	return say("could not read")
}

// VerifyOutcome is the last line of verify. name and fingerprint are those of
// the best signature; findings say what is not sound, or cannot be read.
func VerifyOutcome(code, name, fingerprint string, findings []Finding) string {
	who := name + " (fingerprint " + fingerprint + ")"
	switch code {
	case "sound_trusted":
		return say("sound, vouched for by " + name + ", whom you trust (fingerprint " + fingerprint + ")")
	case "sound_signed":
		return say("sound, signed by " + who + ", whom you did not say you trust")
	case "sound_unsigned":
		return say("sound, not signed")
	case "not_sound":
		return say("not sound: " + firstWith(findings, StatusUnsound))
	}
	return say("could not read: " + firstWith(findings, StatusUnread))
}

// firstWith says the first finding of a status.
func firstWith(findings []Finding, status string) string {
	at := slices.IndexFunc(findings, func(f Finding) bool { return f.Status == status })
	if at < 0 {
		return "nothing was checked"
	}
	return VerifyWhat(findings[at])
}

// VerifySigner says a signer with the certificate's fingerprint and validity,
// and the time that the signer states.
func VerifySigner(name, fingerprint, from, to, at string, trusted bool) string {
	text := "signer " + name + ", fingerprint " + fingerprint + ", certificate valid " + from + " to " + to
	if at != "" {
		text += ", signed at " + at + " (the signer's word)"
	}
	if trusted {
		return say(text + ", trusted")
	}
	return say(text + ", not trusted")
}

// VerifyProves says what a sound summary does not prove.
func VerifyProves() []string {
	return sayAll([]string{
		"It proves that the pages show the record and that the record follows from the readings attached.",
		"It does not prove that the readings are true, or that this outfit was the one weighed.",
		"The time of signing is the signer's word.",
	})
}

// fill puts escaped arguments into a sentence. {?name:TEXT} is printed, with
// the argument for _, only where there is one; TEXT in brackets gets a space.
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
		name, text, optional := strings.Cut(strings.TrimPrefix(slot, "?"), ":")
		value := argText(name, args[name])
		switch {
		case !optional:
			b.WriteString(value)
		case args[name] != "":
			b.WriteString(strings.Replace(text, "_", value, 1))
		}
	}
}

// argText prints an argument: names and values of the file in quotes, figures
// and codes as they are; all escaped.
func argText(name, value string) string {
	switch name {
	case "name", "signer", "subject", "file", "job":
		return quoted(value)
	}
	return value
}

// FindText says where a hash was found, for verify --find; kind is record, file
// or attachment, in a summary or in a line of the register.
func FindText(kind, file, line string) string {
	what := map[string]string{"record": "the record of", "file": "the file", "attachment": "a file attached to"}[kind]
	if what == "" {
		what = codeWord(kind) + " of"
	}
	if line != "" {
		return say(what + " line " + line + " of " + file)
	}
	return say(what + " " + file)
}
