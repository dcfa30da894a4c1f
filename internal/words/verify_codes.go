package words

// Finding is one thing that verify found, as facts and in words. Its status is
// ok, not_checked (nothing wrong found), not_sound (changed, or not made by this
// program) or not_read (could not be read, or not judged by this version).
type Finding struct {
	Code, Status string
	Args         []arg
	What         string // a sentence: "the file is unchanged since it was made (its hash matches)"
	Said         string // with the status before it: "ok: the file is …"
}

// arg is an argument of a finding: a number, a text of the file, a time.Time,
// a code or a list of codes ([]string).
type arg struct {
	Key   string
	Value any
}

// verifyCode is one code of verify with its arguments. The arguments name where
// in the file (at, object, bytes, page, key), who (signer, fingerprint, …), or
// what is attached (file, line); path, was, is: a key of the record, what it
// says there and when recalculated.
type verifyCode struct {
	Code string
	Args []string
}

// fileCodes are the findings on the bytes and signatures of a file.
var fileCodes = []verifyCode{
	{"id_matches", nil},
	{"signature_intact", []string{"signature", "signer", "at", "bytes", "as"}},
	{"signer_trusted", []string{"signature", "signer", "fingerprint", "valid_from", "valid_to"}},
	{"signer_not_trusted", []string{"signature", "signer", "fingerprint", "valid_from", "valid_to", "why"}},
	{"not_signed", nil},
	{"too_large", []string{"most"}},
	{"header", nil},
	{"rewritten", []string{"producer"}},
	{"loose_bytes", []string{"at"}},
	{"object_order", []string{"object", "wanted", "at"}},
	{"linearised", []string{"object"}},
	{"object_stream", []string{"object"}},
	{"encrypted", nil},
	{"table", []string{"at"}},
	{"trailer", []string{"at"}},
	{"end_mark", []string{"at"}},
	{"catalog_key", []string{"key"}},
	{"catalog", nil},
	{"no_page", nil},
	{"id_form", nil},
	{"id_differs", []string{"computed", "carried"}},
	{"added", []string{"at", "bytes", "why"}},
	{"too_many_added", []string{"most"}},
	{"form_fields", nil},
	{"attached_form", []string{"name"}},
	{"attached_twice", []string{"name"}},
	{"stream_form", []string{"object"}},
	{"stream_packing", []string{"object"}},
	{"unpacks_too_big", []string{"most"}},
	{"drawn_not", []string{"what", "object", "page", "name"}},
	{"comment", []string{"at"}},
	{"cut_short", []string{"object"}},
	{"nested_deep", []string{"object", "most"}},
	{"too_many_values", []string{"most"}},
	{"no_object", []string{"object", "at"}},
	{"key_repeated", []string{"object", "key"}},
	{"name_escaped", []string{"object", "name"}},
	{"string_form", []string{"object"}},
	{"stream_length", []string{"object"}},
	{"object_end", []string{"object"}},
	{"object_missing", []string{"object"}},
	{"wrong_kind", []string{"what"}},
	{"circle", []string{"what"}},
	{"too_much", []string{"what"}},
	{"signature_form", []string{"signature"}},
	{"signature_more", []string{"signature", "at"}},
	{"signature_changed", []string{"signature"}},
	{"signature_key", []string{"signature"}},
	{"none_given", nil},
	{"not_among_given", nil},
	{"not_valid_then", nil},
	{"other_purposes", nil},
	{"not_for_signing", nil},
	{"weak_key", nil},
	{"high_s", nil},
}

// summaryCodes are the findings on what a summary says: whether it can be
// judged, what is attached, its record and its pages.
var summaryCodes = []verifyCode{
	{"cannot_open", []string{"why"}},
	{"empty", nil},
	{"not_a_file", nil},
	{"not_pdf", nil},
	{"other_version", []string{"program", "schema", "model"}},
	{"took_too_long", nil},
	{"attachments_unread", []string{"why"}},
	{"no_record", nil},
	{"attachment_missing", []string{"file"}},
	{"attachment_changed", []string{"file", "line"}},
	{"attachment_unnamed", []string{"file"}},
	{"attachments_same", []string{"number"}},
	{"too_many_attached", []string{"most"}},
	{"input_twice", []string{"file"}},
	{"forms_too_large", []string{"most"}},
	{"forms_too_long", []string{"most"}},
	{"record_too_large", []string{"most"}},
	{"earlier_attached", []string{"sha256"}},
	{"earlier_unread", []string{"why"}},
	{"signer_other", []string{"signer", "fingerprint"}},
	{"record_unread", []string{"why"}},
	{"record_not_ours", nil},
	{"record_too_long", []string{"path"}},
	{"options_impossible", []string{"path", "was"}},
	{"forms_faulty", []string{"why"}},
	{"other_job", []string{"job"}},
	{"number_impossible", []string{"number"}},
	{"key_differs", []string{"path", "was", "is"}},
	{"more_keys_differ", []string{"number"}},
	{"record_follows", []string{"job", "program", "sha256"}},
	{"pages_differ", []string{"page"}},
	{"pages_undrawn", []string{"why"}},
	{"pages_other_version", []string{"program"}},
	{"packing_differs", nil},
	{"pages_same", nil},
	{"amends", []string{"number", "sha256", "because"}},
	{"replaced_by", []string{"number", "file"}},
}

// outcomeCodes are the outcomes of verify, its last line.
var outcomeCodes = []string{"vouched", "signed", "not_signed", "record_only", "not_sound", "not_read"}
