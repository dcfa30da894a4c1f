package words

// The statuses of a finding of verify.
const (
	StatusOK        = "ok"          // as it should be
	StatusUnchecked = "not_checked" // nothing wrong found, but not checked
	StatusUnsound   = "not_sound"   // changed, or not made by this program
	StatusUnread    = "not_read"    // could not be read, or not judged by this version
)

// Finding is one thing that verify found, as facts: a code with its arguments,
// each a number, a code, a hash or text of the file.
type Finding struct {
	Code   string
	Status string
	Args   map[string]string
}

// VerifyCode is one code of verify: the status it comes with, and its arguments.
type VerifyCode struct {
	Code, Status string
	Args         []string
}

// VerifyCodes are all codes of findings, in the order in which they are
// checked. name, signer: in certificates and signature; at: byte of the file;
// path, was, is: a key of the record, there and recalculated.
var VerifyCodes = []VerifyCode{
	// can it be read
	{"cannot_open", StatusUnread, []string{"why"}},
	{"empty", StatusUnread, nil},
	{"not_a_file", StatusUnread, nil},
	{"too_large", StatusUnread, []string{"most"}},
	{"not_pdf", StatusUnread, nil},
	{"other_version", StatusUnread, []string{"program", "schema", "model"}},
	// the bytes of the file
	{"not_ours", StatusUnsound, []string{"why"}},
	{"written_again", StatusUnsound, nil},
	{"took_too_long", StatusUnsound, nil},
	{"loose_bytes", StatusUnsound, []string{"at", "bytes"}},
	{"object_order", StatusUnsound, []string{"object", "at"}},
	{"object_differs", StatusUnsound, []string{"object"}},
	{"object_extra", StatusUnsound, []string{"object"}},
	{"object_missing", StatusUnsound, []string{"object"}},
	{"table_wrong", StatusUnsound, []string{"at"}},
	{"second_table", StatusUnsound, []string{"at"}},
	{"linearised", StatusUnsound, nil},
	{"identifier_wrong", StatusUnsound, nil},
	{"addition", StatusUnsound, []string{"at", "bytes", "why"}},
	{"bytes_same", StatusOK, nil},
	{"packing_differs", StatusOK, nil},
	// what is attached
	{"attachments_unread", StatusUnsound, []string{"why"}},
	{"attached_twice", StatusUnsound, []string{"file"}},
	{"no_record", StatusUnsound, nil},
	{"attachment_missing", StatusUnsound, []string{"file"}},
	{"attachment_changed", StatusUnsound, []string{"file", "line"}},
	{"attachment_unnamed", StatusUnsound, []string{"file"}},
	{"attachments_same", StatusOK, []string{"number"}},
	// the record
	{"record_unread", StatusUnsound, []string{"why"}},
	{"record_not_ours", StatusUnsound, nil},
	{"record_too_long", StatusUnsound, []string{"path"}},
	{"forms_faulty", StatusUnsound, []string{"why"}},
	{"other_job", StatusUnsound, []string{"job"}},
	{"number_impossible", StatusUnsound, []string{"number"}},
	{"key_differs", StatusUnsound, []string{"path", "was", "is"}},
	{"record_follows", StatusOK, []string{"job", "program", "sha256"}},
	// the pages
	{"pages_differ", StatusUnsound, []string{"page"}},
	{"pages_undrawn", StatusUnsound, []string{"why"}},
	{"pages_other_version", StatusUnchecked, []string{"program"}},
	{"pages_same", StatusOK, nil},
	// the signatures
	{"signature_broken", StatusUnsound, []string{"number", "name", "why"}},
	{"signature_covers_part", StatusUnchecked, []string{"number", "name", "bytes"}},
	{"signature_intact", StatusOK, []string{"number", "name", "signer", "bytes", "at"}},
	{"not_signed", StatusUnchecked, nil},
	// the signers
	{"signer_not_asked", StatusUnchecked, []string{"name"}},
	{"signer_not_chained", StatusUnchecked, []string{"name"}},
	{"signer_purpose", StatusUnchecked, []string{"name"}},
	{"signer_key_small", StatusUnchecked, []string{"name", "subject", "key"}},
	{"signer_high_s", StatusUnchecked, []string{"name"}},
	{"signer_not_valid", StatusUnchecked, []string{"name", "at", "valid_from", "valid_to"}},
	{"signer_trusted", StatusOK, []string{"name"}},
	// other summaries given with it
	{"replaced_by", StatusUnchecked, []string{"number", "file"}},
}

// OutcomeCodes are the outcomes of verify, its last line. name and fingerprint
// are those of the best signature; what is the first finding that is not sound.
var OutcomeCodes = []VerifyCode{
	{"sound_trusted", StatusOK, []string{"name", "fingerprint"}},
	{"sound_signed", StatusUnchecked, []string{"name", "fingerprint"}},
	{"sound_unsigned", StatusUnchecked, nil},
	{"not_sound", StatusUnsound, nil},
	{"not_read", StatusUnread, nil},
}
