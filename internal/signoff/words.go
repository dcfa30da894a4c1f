package signoff

import (
	"fmt"
	"strings"
	"time"
)

// The sentences of findings, in this one file, until the package of words
// prints them from their codes and arguments. Every text goes through
// [escape].

// String returns the status in a word.
func (s Status) String() string {
	return map[Status]string{Holds: "ok", Unchecked: "not checked", Unsound: "not sound"}[s]
}

// sentences are the findings in words; {key} is an argument.
var sentences = map[Code]string{
	idMatches:        "the file is unchanged since it was made (its hash matches)",
	signatureIntact:  "signature {signature}, by {signer}, covers the entire file as it was then ({bytes} bytes); the signer gives the time as {at}",
	signerTrusted:    "the signer of signature {signature}, {signer}, is one you trust (fingerprint {fingerprint}, valid from {valid_from} to {valid_to})",
	signerNotTrusted: "the signer of signature {signature}, {signer}, is not one you said you trust: {why} (fingerprint {fingerprint}, valid from {valid_from} to {valid_to})",
	notSigned:        "the file is not signed",

	tooLarge:      "the file is larger than {most} bytes",
	badHeader:     "the file does not begin as this program begins a summary",
	Rewritten:     "written again by another program",
	looseBytes:    "something that does not belong to the file begins at byte {at}",
	objectOrder:   "object {object} is where object {wanted} should be, at byte {at}",
	linearised:    "object {object} makes readers look for the pages in another way (linearised)",
	objectStream:  "object {object} hides other objects or a table inside it",
	encrypted:     "the file says that it is encrypted or has a second table",
	badTable:      "the cross-reference table is not that of the file's objects, at byte {at}",
	badTrailer:    "the trailer is not as this program writes it, at byte {at}",
	badEnd:        "the file is cut off or has no proper end, at byte {at}",
	catalogKey:    "the catalog has an entry {key}, which changes what a reader shows or does",
	badCatalog:    "the file has no catalog",
	badPages:      "the file has no page",
	idForm:        "the identifier is not two strings of 64 lower-case hex digits",
	idDiffers:     "the file was changed since it was made (its hash is {computed}, it carries {carried})",
	Added:         "{bytes} bytes were added after byte {at} that are not a signature of this program",
	tooManyAdded:  "more than {most} updates were added",
	formFields:    "the file is not of a form that can be signed",
	attachedForm:  "attachment {name} is not attached as this program attaches files",
	attachedTwice: "attachment {name} is attached twice",
	streamForm:    "object {object} has a form of stream that this program does not write",
	streamPacking: "object {object} does not unpack, or something follows what is packed",
	unpacksTooBig: "the file unpacks to more than {most} bytes",
	drawnNot:      "drawn again from the record, the {what} is not the same",

	comment:       "there is a comment at byte {at}",
	cutShort:      "object {object} ends in the middle",
	nestedDeep:    "object {object} is nested deeper than {most}",
	tooManyValues: "there are more than {most} objects",
	noObject:      "object {object} has something at byte {at} that is no object",
	keyRepeated:   "object {object} has the key {key} twice",
	nameEscaped:   "object {object} spells the name {name} in another way",
	stringForm:    "object {object} has a string with another character in it",
	streamLength:  "object {object} has a stream of another length than it says",
	objectEnd:     "object {object} has no proper end",
	objectMissing: "object {object} is not in the file",
	wrongKind:     "the {what} is not of the kind it must be",
	circle:        "the {what} runs in a circle",
	tooMuch:       "the {what} is too large",

	signatureForm:    "signature {signature} is not in the form that this program writes, or was changed",
	signatureMore:    "more than signature {signature} was added with it, or it was changed, at byte {at}",
	signatureChanged: "the file was changed after signature {signature} was made",
	signatureKey:     "signature {signature} was not made with the key of its certificate, or was changed",

	noneGiven:     "no certificate to trust was given",
	notAmongGiven: "the certificate is not among those given and does not chain to one",
	notValidThen:  "the certificate was not valid at the time of signing",
	otherPurposes: "the certificate is restricted to other purposes",
	notForSigning: "the certificate was not issued for signing",
	weakKey:       "a key in its chain is weaker than RSA 2048 or P-256",
	HighS:         "the signature is in a second spelling (s above n/2)",
}

// String returns the finding in words, without its status.
func (f Finding) String() string {
	s, ok := sentences[f.Code]
	if !ok {
		s, ok = f.arg("text").(string) // a sentence made elsewhere
	}
	if !ok {
		s = string(f.Code)
	}
	if f.arg("as") != nil { // a name that the certificate does not have
		s = strings.Replace(s, "{signer}", "{signer} signing as {as}", 1)
	}
	for _, a := range f.Args {
		s = strings.ReplaceAll(s, "{"+a.Key+"}", a.words())
	}
	if page := f.arg("page"); f.Code == drawnNot && page != nil {
		s = strings.Replace(s, "the page is", fmt.Sprintf("page %v is", page), 1)
	}
	return strings.ReplaceAll(s, "object {object}", "an object")
}

func (a arg) words() string {
	switch v := a.Value.(type) {
	case string:
		// Names are quoted, hashes and kinds are not; braces would be filled in again.
		v = strings.NewReplacer("{", `\u007b`, "}", `\u007d`).Replace(escape(v))
		switch a.Key {
		case "signer", "as", "name", "key", "producer":
			return `"` + v + `"`
		}
		return v
	case time.Time:
		return v.UTC().Format("2006-01-02 15:04:05 UTC")
	case []Code:
		var all []string
		for _, c := range v {
			all = append(all, sentences[c])
		}
		return strings.Join(all, "; ")
	}
	return fmt.Sprint(a.Value)
}

// String returns the outcome as the last line on a file.
func (o outcome) String() string {
	switch {
	case o.Code == Unsigned:
		return "sound, not signed"
	case o.Code == NotSound && o.Why != nil:
		return "not sound: " + o.Why.String()
	case o.Signer == nil:
		return "not sound"
	}
	who := escape(o.Signer.Name)
	if o.Code == Vouched {
		return fmt.Sprintf("sound, vouched for by %s, whom you trust (fingerprint %s)", who, o.Signer.Fingerprint)
	}
	return fmt.Sprintf("sound, signed by %s (fingerprint %s), whom you did not say you trust", who, o.Signer.Fingerprint)
}
