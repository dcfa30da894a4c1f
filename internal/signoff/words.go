package signoff

import (
	"fmt"
	"strings"
	"time"
)

// The sentences of findings, in this one file, until the package of words
// prints them from their codes and arguments. Every text goes through
// [Escape].

// String returns the status in a word.
func (s Status) String() string {
	return map[Status]string{Holds: "ok", Unchecked: "not checked", Unsound: "not sound"}[s]
}

// sentences are the findings in words; {key} is an argument.
var sentences = map[Code]string{
	IDMatches:        "the file is unchanged since it was made (its hash matches)",
	SignatureIntact:  "signature {signature}, by {signer}, covers the entire file as it was then ({bytes} bytes); the signer gives the time as {at}",
	SignerTrusted:    "the signer of signature {signature}, {signer}, is one you trust (fingerprint {fingerprint}, valid from {valid_from} to {valid_to})",
	SignerNotTrusted: "the signer of signature {signature}, {signer}, is not one you said you trust: {why} (fingerprint {fingerprint}, valid from {valid_from} to {valid_to})",
	NotSigned:        "the file is not signed",

	TooLarge:      "the file is larger than {most} bytes",
	BadHeader:     "the file does not begin as this program begins a summary",
	Rewritten:     "written again by another program",
	LooseBytes:    "something that does not belong to the file begins at byte {at}",
	ObjectOrder:   "object {object} is where object {wanted} should be, at byte {at}",
	Linearised:    "object {object} makes readers look for the pages in another way (linearised)",
	ObjectStream:  "object {object} hides other objects or a table inside it",
	Encrypted:     "the file says that it is encrypted or has a second table",
	BadTable:      "the cross-reference table is not that of the file's objects, at byte {at}",
	BadTrailer:    "the trailer is not as this program writes it, at byte {at}",
	BadEnd:        "the file is cut off or has no proper end, at byte {at}",
	CatalogKey:    "the catalog has an entry {key}, which changes what a reader shows or does",
	BadCatalog:    "the file has no catalog",
	BadPages:      "the file has no page",
	IDForm:        "the identifier is not two strings of 64 lower-case hex digits",
	IDDiffers:     "the file was changed since it was made (its hash is {computed}, it carries {carried})",
	Added:         "{bytes} bytes were added after byte {at} that are not a signature of this program",
	TooManyAdded:  "more than {most} updates were added",
	FormFields:    "the file is not of a form that can be signed",
	AttachedForm:  "attachment {name} is not attached as this program attaches files",
	AttachedTwice: "attachment {name} is attached twice",
	StreamForm:    "object {object} has a form of stream that this program does not write",
	StreamPacking: "object {object} does not unpack, or something follows what is packed",
	UnpacksTooBig: "the file unpacks to more than {most} bytes",
	DrawnNot:      "drawn again from the record, the {what} is not the same",

	Comment:       "there is a comment at byte {at}",
	CutShort:      "object {object} ends in the middle",
	NestedDeep:    "object {object} is nested deeper than {most}",
	TooManyValues: "there are more than {most} objects",
	NoObject:      "object {object} has something at byte {at} that is no object",
	KeyRepeated:   "object {object} has the key {key} twice",
	NameEscaped:   "object {object} spells the name {name} in another way",
	StringForm:    "object {object} has a string with another character in it",
	StreamLength:  "object {object} has a stream of another length than it says",
	ObjectEnd:     "object {object} has no proper end",
	ObjectMissing: "object {object} is not in the file",
	WrongKind:     "the {what} is not of the kind it must be",
	Circle:        "the {what} runs in a circle",
	TooMuch:       "the {what} is too large",

	SignatureForm:    "signature {signature} is not in the form that this program writes, or was changed",
	SignatureMore:    "more than signature {signature} was added with it, or it was changed, at byte {at}",
	SignatureChanged: "the file was changed after signature {signature} was made",
	SignatureKey:     "signature {signature} was not made with the key of its certificate, or was changed",

	NoneGiven:     "no certificate to trust was given",
	NotAmongGiven: "the certificate is not among those given and does not chain to one",
	NotValidThen:  "the certificate was not valid at the time of signing",
	OtherPurposes: "the certificate is restricted to other purposes",
	NotForSigning: "the certificate was not issued for signing",
	WeakKey:       "a key in its chain is weaker than RSA 2048 or P-256",
	HighS:         "the signature is in a second spelling (s above n/2)",
}

// String returns the finding in words, without its status.
func (f Finding) String() string {
	s, ok := sentences[f.Code]
	if !ok {
		s, ok = f.Arg("text").(string) // a sentence made elsewhere
	}
	if !ok {
		s = string(f.Code)
	}
	if f.Arg("as") != nil { // a name that the certificate does not have
		s = strings.Replace(s, "{signer}", "{signer} signing as {as}", 1)
	}
	for _, a := range f.Args {
		s = strings.ReplaceAll(s, "{"+a.Key+"}", a.words())
	}
	if page := f.Arg("page"); f.Code == DrawnNot && page != nil {
		s = strings.Replace(s, "the page is", fmt.Sprintf("page %v is", page), 1)
	}
	return strings.ReplaceAll(s, "object {object}", "an object")
}

func (a Arg) words() string {
	switch v := a.Value.(type) {
	case string:
		// Names are quoted, hashes and kinds are not; braces would be filled in again.
		v = strings.NewReplacer("{", `\u007b`, "}", `\u007d`).Replace(Escape(v))
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
func (o Outcome) String() string {
	switch {
	case o.Code == Unsigned:
		return "sound, not signed"
	case o.Code == NotSound && o.Why != nil:
		return "not sound: " + o.Why.String()
	case o.Signer == nil:
		return "not sound"
	}
	who := Escape(o.Signer.Name)
	if o.Code == Vouched {
		return fmt.Sprintf("sound, vouched for by %s, whom you trust (fingerprint %s)", who, o.Signer.Fingerprint)
	}
	return fmt.Sprintf("sound, signed by %s (fingerprint %s), whom you did not say you trust", who, o.Signer.Fingerprint)
}
