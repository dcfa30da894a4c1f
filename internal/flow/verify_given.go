package flow

import (
	"regexp"
	"strings"
	"sync"
	"time"

	"reconcile/internal/record"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

// What a record is given and not derived: options, number and replaces are
// taken from it, and only their form can be checked.

var (
	lowerHash = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[0-9a-f]{64}$`) })
	upperHash = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[0-9A-F]{64}$`) })
	counted   = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(.*?)([0-9]+)$`) })
)

// given checks the form of what the record was given.
func (v *verification) given() bool {
	for _, part := range []func() bool{v.options, v.replaces, v.earlier, v.signedBy} {
		if !part() {
			return false
		}
	}
	return true
}

// options wants values that the flags can have. Whether the set is there, and
// the region is the forms', reading the forms finds.
func (v *verification) options() bool {
	o := v.old.Options
	_, err := time.Parse(time.DateOnly, o.Issued)
	for _, option := range []struct {
		path, value string
		good        bool
	}{
		{"options.rule", o.Rule, o.Rule == "guarded" || o.Rule == "simple"},
		{"options.region", o.Region, regions.Of(o.Region).Region == o.Region},
		{"options.issued", o.Issued, o.Issued == "" || err == nil},
		{"options.paper", o.Paper, o.Paper == "a4" || o.Paper == "letter"},
		{"options.unit", o.Unit, o.Unit == "kg" || o.Unit == "lb"},
		{"options.after", o.After, o.After == "" || lowerHash().MatchString(o.After)},
	} {
		if !option.good {
			return v.unsound("options_impossible", "path", option.path, "was", clipped(option.value))
		}
	}
	return true
}

// replaces wants an amendment to say what it amends and why, under a number of
// its own.
func (v *verification) replaces() bool {
	p := v.old.Replaces
	switch {
	case p == nil:
		return true
	case !lowerHash().MatchString(p.RecordSHA256) && !upperHash().MatchString(p.RecordSHA256):
		return v.unsound("options_impossible", "path", "replaces.record_sha256", "was", clipped(p.RecordSHA256))
	case !oneLine(p.Because):
		return v.unsound("options_impossible", "path", "replaces.because", "was", clipped(p.Because))
	case p.Number != "" && (!counted().MatchString(p.Number) || !oneLine(p.Number)):
		return v.unsound("options_impossible", "path", "replaces.number", "was", clipped(p.Number))
	case p.Number != "" && (v.old.Issuer.Number == "" || v.old.Issuer.Number == p.Number): // it has a new one
		return v.unsound("options_impossible", "path", "replaces.number", "was", clipped(p.Number))
	}
	return true
}

// oneLine reports whether a text is one that somebody can have typed: not
// blank, nothing around it, and nothing in it that does not show.
func oneLine(s string) bool {
	return s != "" && strings.TrimSpace(s) == s && words.Escape(s) == s
}

// earlier wants the record of an earlier visit to be one that this program has
// written: the same version, complete and as it is written. Whether it follows from
// its own readings, its own summary shows.
func (v *verification) earlier() bool {
	line, there := v.files[record.EarlierFile]
	if !there {
		return v.old.Options.After == "" || v.unsound("attachment_missing", "file", record.EarlierFile)
	}
	if v.old.Options.After != hashOf(line) {
		return v.unsound("attachment_changed", "file", record.EarlierFile)
	}
	m, ok := makerOf(line)
	if !ok || m.schema != v.old.Schema || m.program != v.old.Program || m.model != v.old.Model {
		return v.unsound("earlier_unread", "why", "another version made it")
	}
	if _, err := record.Parse(line, 0); err != nil {
		return v.unsound("earlier_unread", "why", clipped(err.Error()))
	}
	v.add(holds, "earlier_attached", "sha256", strings.ToUpper(v.old.Options.After))
	return true
}

// signedBy wants pages that say who signed them to be signed so, first, and on
// the day of issue that they print, wherever on earth that was.
func (v *verification) signedBy() bool {
	by := v.old.Options.SignedBy
	if by == nil {
		return true
	}
	if len(v.signers) == 0 || v.signers[0].Signature != 1 || v.signers[0].Name != by.Name || v.signers[0].Fingerprint != by.Fingerprint {
		return v.unsound("signer_other", "signer", clipped(by.Name), "fingerprint", clipped(by.Fingerprint))
	}
	const east, west = 14 * time.Hour, -12 * time.Hour // of UTC, the farthest zones
	at := v.signers[0].At.UTC()
	from, to := at.Add(west).Format(time.DateOnly), at.Add(east).Format(time.DateOnly)
	if v.old.Options.Issued < from || v.old.Options.Issued > to {
		return v.unsound("options_impossible", "path", "options.issued", "was", v.old.Options.Issued)
	}
	return true
}

// number wants the number to be blank, or one that the attached issuer.csv can
// have given.
func (v *verification) number(job *tickets.Job) bool {
	number := v.old.Issuer.Number
	if number == "" || job.Issuer.Line > 0 && canFollow(job.Issuer.NextNumber, number) {
		return true
	}
	return v.unsound("number_impossible", "number", clipped(number))
}

// canFollow reports whether counting up from next can come to number. Where
// next is blank the register has given the pattern.
func canFollow(next, number string) bool {
	n := counted().FindStringSubmatch(number)
	if n == nil || !oneLine(number) {
		return false
	}
	if next == "" {
		return true
	}
	from := counted().FindStringSubmatch(next)
	if from == nil || from[1] != n[1] {
		return false
	}
	width := len(from[2])
	switch {
	case len(n[2]) == width:
		return n[2] >= from[2]
	case len(n[2]) > width:
		return n[2][0] != '0'
	}
	return false
}
