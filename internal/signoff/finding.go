package signoff

import (
	"bytes"
	"encoding/json"
	"slices"
	"time"
)

// Status says what a finding means for the file. There is no zero status.
type Status int

const (
	Holds     Status = iota + 1 // as it should be
	Unchecked                   // nothing wrong found, but not everything is checked
	Unsound                     // changed, or not of this program's making
)

// Code names a kind of finding, or of a reason in it, for programs and for
// whoever puts it into words.
type Code string

// What is as it should be, or not checked.
const (
	idMatches        Code = "id_matches"         // the file gives the hash it carries
	signatureIntact  Code = "signature_intact"   // signature, signer, at, bytes; as: the name written beside it
	signerTrusted    Code = "signer_trusted"     // signature, signer, fingerprint, valid_from, valid_to
	signerNotTrusted Code = "signer_not_trusted" // the same, why
	notSigned        Code = "not_signed"
)

// What is not sound in the file as a whole.
const (
	tooLarge      Code = "too_large"       // most: bytes
	badHeader     Code = "header"          // not the header that this program writes
	Rewritten     Code = "rewritten"       // by another program; producer: what it says it is
	looseBytes    Code = "loose_bytes"     // at: something that is neither object nor table
	objectOrder   Code = "object_order"    // object, at: another number than the next
	linearised    Code = "linearised"      // object: what readers take for a linearised file
	objectStream  Code = "object_stream"   // object: objects or a table inside a stream
	encrypted     Code = "encrypted"       //
	badTable      Code = "table"           // at: not the table of these objects
	badTrailer    Code = "trailer"         // at
	badEnd        Code = "end_mark"        // at
	catalogKey    Code = "catalog_key"     // key: one that changes what a reader shows or does
	badCatalog    Code = "catalog"         //
	badPages      Code = "no_page"         //
	idForm        Code = "id_form"         //
	idDiffers     Code = "id_differs"      // computed, carried
	Added         Code = "added"           // at, bytes, why: not a signature of this program
	tooManyAdded  Code = "too_many_added"  // most
	formFields    Code = "form_fields"     // not a file to sign
	attachedForm  Code = "attached_form"   // name: not attached as this program does
	attachedTwice Code = "attached_twice"  // name
	streamForm    Code = "stream_form"     // object: another form of stream
	streamPacking Code = "stream_packing"  // object: does not unpack, or something follows it
	unpacksTooBig Code = "unpacks_too_big" // most: bytes
	drawnNot      Code = "drawn_not"       // what, object, page, name: not as drawn again
)

// What is not sound in the text of an object.
const (
	comment       Code = "comment"
	cutShort      Code = "cut_short" // ends in the middle
	nestedDeep    Code = "nested_deep"
	tooManyValues Code = "too_many_values"
	noObject      Code = "no_object" // something else where an object should be
	keyRepeated   Code = "key_repeated"
	nameEscaped   Code = "name_escaped" // spelled with # where plain letters do
	stringForm    Code = "string_form"
	streamLength  Code = "stream_length"
	objectEnd     Code = "object_end"
	objectMissing Code = "object_missing"
	wrongKind     Code = "wrong_kind" // what: of another kind than it must be
	circle        Code = "circle"     // what
	tooMuch       Code = "too_much"   // what: larger than any file of this program
)

// What is not sound in a signature.
const (
	signatureForm    Code = "signature_form"    // not in the form that this program writes
	signatureMore    Code = "signature_more"    // at: more than a signature was added with it
	signatureChanged Code = "signature_changed" // the file was changed after it was signed
	signatureKey     Code = "signature_key"     // not made with the key of its certificate
)

// Why a signer is not trusted.
const (
	noneGiven     Code = "none_given"      // no certificate was given to trust
	notAmongGiven Code = "not_among_given" // nor chains to one given
	notValidThen  Code = "not_valid_then"  // at the time of signing that it states
	otherPurposes Code = "other_purposes"  // the certificate is restricted to them
	notForSigning Code = "not_for_signing" // its key usage has no signing in it
	weakKey       Code = "weak_key"        // below RSA 2048 or P-256, in the chain
	HighS         Code = "high_s"          // the signature's s is above n/2
)

// arg is an argument of a finding: a number, a text, a time, a Code or a list
// of them. A text may come from the file: it goes through [escape] before it
// is printed.
type arg struct {
	Key   string
	Value any
}

// Finding is one thing found in a file, as a fact: what it is called in words
// is another's work.
type Finding struct {
	Code   Code
	Status Status
	Args   []arg
}

// newFinding makes a finding of arguments given as key, value, key, value.
func newFinding(status Status, code Code, args ...any) Finding {
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

// MarshalJSON writes {"code":…,"status":…} and the arguments, in their order.
func (f Finding) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	all := append([]arg{{"code", f.Code}, {"status", f.Status.code()}}, f.Args...)
	for i, a := range all {
		if t, ok := a.Value.(time.Time); ok {
			a.Value = t.UTC().Format(time.RFC3339)
		}
		value, err := json.Marshal(a.Value)
		if err != nil {
			return nil, err
		}
		key, err := json.Marshal(a.Key)
		if err != nil {
			return nil, err
		}
		if i > 0 {
			b.WriteByte(',')
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// code is the status as programs read it.
func (s Status) code() string {
	return map[Status]string{Holds: "ok", Unchecked: "not_checked", Unsound: "not_sound"}[s]
}

// DamagedError says why a PDF is not one that this program writes: it was
// changed, cut off, or comes from somewhere else.
type DamagedError struct{ Finding Finding }

func (e *DamagedError) Error() string { return e.Finding.String() }

// damaged is a [DamagedError] with arguments given as key, value, key, value.
func damaged(code Code, args ...any) error {
	return &DamagedError{newFinding(Unsound, code, args...)}
}

// inObject says in which object an error was found, once.
func inObject(err error, num int) error {
	if d, ok := err.(*DamagedError); ok {
		return &DamagedError{d.Finding.with("object", num)}
	}
	return err
}

// Worst returns the gravest status of findings. None at all is unsound:
// nothing was checked.
func Worst(findings []Finding) Status {
	if len(findings) == 0 {
		return Unsound
	}
	return slices.MaxFunc(findings, func(a, b Finding) int { return int(a.Status) - int(b.Status) }).Status
}

// The outcomes of examining a file.
const (
	Vouched  Code = "vouched"    // sound, by a signer who is trusted
	SignedBy Code = "signed"     // sound, by one who is not
	Unsigned Code = "not_signed" // sound
	NotSound Code = "not_sound"
)

// outcome is what all findings on a file come to.
type outcome struct {
	Code   Code
	Status Status
	Signer *Signer  // of the best signature, if there is one
	Why    *Finding // of a file that is not sound: the first thing that is not
}

// OutcomeOf returns what findings and signers come to. The best signature
// counts: others stand as findings of their own and spoil nothing. Anything
// else that is not checked keeps a file from being vouched for.
func OutcomeOf(findings []Finding, signers []Signer) outcome {
	if i := slices.IndexFunc(findings, func(f Finding) bool { return f.Status == Unsound }); i >= 0 || len(findings) == 0 {
		out := outcome{Code: NotSound, Status: Unsound}
		if i >= 0 {
			out.Why = &findings[i]
		}
		return out
	}
	best := bestSigner(signers)
	open := slices.ContainsFunc(findings, func(f Finding) bool {
		return f.Status == Unchecked && f.Code != signerNotTrusted && f.Code != notSigned
	})
	switch {
	case best == nil:
		return outcome{Code: Unsigned, Status: Unchecked}
	case !best.Trusted:
		return outcome{Code: SignedBy, Status: Unchecked, Signer: best}
	case open:
		return outcome{Code: Vouched, Status: Unchecked, Signer: best}
	}
	return outcome{Code: Vouched, Status: Holds, Signer: best}
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
