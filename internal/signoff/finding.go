package signoff

import (
	"fmt"
	"slices"
)

// What a finding means for the file. There is no zero status.
const (
	holds      = "ok"          // as it should be
	notChecked = "not_checked" // nothing wrong found, but not everything is checked
	unsound    = "not_sound"   // changed, or not of this program's making
)

// The codes name a kind of finding, or a reason in it. Package words has a
// sentence for each.

// What is as it should be, or not checked.
const (
	idMatches        = "id_matches"         // the file gives the hash it carries
	signatureIntact  = "signature_intact"   // signature, signer, at, bytes; as: the name written next to it
	signerTrusted    = "signer_trusted"     // signature, signer, fingerprint, valid_from, valid_to
	signerNotTrusted = "signer_not_trusted" // the same, why
	notSigned        = "not_signed"
)

// What is not sound in the file itself.
const (
	tooLarge      = "too_large"       // most: bytes
	badHeader     = "header"          // not the header that this program writes
	rewrittenFile = "rewritten"       // by another program; producer: what it says it is
	looseBytes    = "loose_bytes"     // at: something that is neither object nor table
	objectOrder   = "object_order"    // object, at: another number than the next
	linearised    = "linearised"      // object: what readers take for a linearised file
	objectStream  = "object_stream"   // object: objects or a table inside a stream
	encrypted     = "encrypted"       //
	badTable      = "table"           // at: not the table of these objects
	badTrailer    = "trailer"         // at
	badEnd        = "end_mark"        // at
	catalogKey    = "catalog_key"     // key: one that changes what a reader shows or does
	badCatalog    = "catalog"         //
	badPages      = "no_page"         //
	idForm        = "id_form"         //
	idDiffers     = "id_differs"      // computed, carried
	bytesAdded    = "added"           // at, bytes, why: not a signature of this program
	tooManyAdded  = "too_many_added"  // most
	formFields    = "form_fields"     // not a file to sign
	attachedForm  = "attached_form"   // name: not attached as this program does
	attachedTwice = "attached_twice"  // name
	streamForm    = "stream_form"     // object: another form of stream
	streamPacking = "stream_packing"  // object: does not unpack, or something follows it
	unpacksTooBig = "unpacks_too_big" // most: bytes
	drawnNot      = "drawn_not"       // what, object, page, name: not as drawn again
)

// What is not sound in the text of an object.
const (
	comment       = "comment"
	cutShort      = "cut_short" // ends in the middle
	nestedDeep    = "nested_deep"
	tooManyValues = "too_many_values"
	noObject      = "no_object" // something else where an object should be
	keyRepeated   = "key_repeated"
	nameEscaped   = "name_escaped" // spelled with # where plain letters do
	stringForm    = "string_form"
	streamLength  = "stream_length"
	objectEnd     = "object_end"
	objectMissing = "object_missing"
	wrongKind     = "wrong_kind" // what: of another kind than it must be
	circle        = "circle"     // what
	tooMuch       = "too_much"   // what: larger than any file of this program
)

// What is not sound in a signature.
const (
	signatureForm    = "signature_form"    // not in the form that this program writes
	signatureMore    = "signature_more"    // at: more than a signature was added with it
	signatureChanged = "signature_changed" // the file was changed after it was signed
	signatureKey     = "signature_key"     // not made with the key of its certificate
)

// Why a signer is not trusted.
const (
	noneGiven     = "none_given"      // no certificate was given to trust
	notAmongGiven = "not_among_given" // nor chains to one given
	notValidThen  = "not_valid_then"  // at the time of signing that it states
	otherPurposes = "other_purposes"  // the certificate is restricted to them
	notForSigning = "not_for_signing" // its key usage has no signing in it
	weakKey       = "weak_key"        // below RSA 2048 or P-256, in the chain
	sTooHigh      = "high_s"          // the signature's s is above n/2
)

// arg is an argument of a finding: a number, a text, a time, a code or a list
// of codes. A text may come from the file and hold anything.
type arg struct {
	Key   string
	Value any
}

// Finding is one thing found in a file, as a fact: what it is called in words
// is another's work. As an error it says why a PDF is not one that this program
// writes: it was changed, cut off, or comes from somewhere else.
type Finding struct {
	Code   string
	Status string
	Args   []arg
}

// newFinding makes a finding of arguments given as key, value, key, value.
func newFinding(status, code string, args ...any) Finding {
	f := Finding{Code: code, Status: status}
	for i := 0; i+1 < len(args); i += 2 {
		f.Args = append(f.Args, arg{args[i].(string), args[i+1]})
	}
	return f
}

// arg returns the argument called key, nil if there is none.
func (f Finding) arg(key string) any {
	for _, a := range f.Args {
		if a.Key == key {
			return a.Value
		}
	}
	return nil
}

// with returns f with a further argument, unless it has one of that name.
func (f Finding) with(key string, value any) Finding {
	if f.arg(key) == nil {
		f.Args = append(slices.Clone(f.Args), arg{key, value})
	}
	return f
}

// Error writes a finding for those who look for its cause: its code, and
// its arguments as key=value.
func (f *Finding) Error() string {
	text := f.Code
	for _, a := range f.Args {
		text += fmt.Sprintf(" %s=%q", a.Key, fmt.Sprint(a.Value))
	}
	return text
}

// damaged is an unsound [Finding] as an error; its arguments are given as key,
// value, key, value.
func damaged(code string, args ...any) error {
	f := newFinding(unsound, code, args...)
	return &f
}

// inObject says in which object an error was found, once.
func inObject(err error, num int) error {
	if f, ok := err.(*Finding); ok {
		in := f.with("object", num)
		return &in
	}
	return err
}

// bestSigner is a trusted one, else the one with the fewest reasons against
// it; of equals the last, whose signature covers most.
func bestSigner(signers []Signer) *Signer {
	var best *Signer
	for i := range signers {
		s := &signers[i]
		if best == nil || s.Trusted && !best.Trusted || s.Trusted == best.Trusted && len(s.Why) <= len(best.Why) {
			best = s
		}
	}
	return best
}
