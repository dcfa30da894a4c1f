package flow

import (
	"strings"
	"testing"

	"reconcile/internal/signoff"
)

// TestTooMuchAttached: what verify would not unpack is not written. The forms
// may be of any size next to copies of 60 MB.
func TestTooMuchAttached(t *testing.T) {
	r := *recordsOf(t, "planetarium")[0]
	r.Files = append(r.Files[:0:0], r.Files...)
	used := len(r.Line)
	for _, f := range r.Files {
		used += len(f.Bytes)
	}
	room := signoff.MaxSize - used
	last := &r.Files[len(r.Files)-1]
	last.Bytes = append(last.Bytes[:len(last.Bytes):len(last.Bytes)], make([]byte, room+1)...)
	if _, _, err := r.Summary(nil); err == nil || !strings.Contains(err.Error(), "has 67108865 bytes (at most 67108864") {
		t.Errorf("one byte too much: %v", err)
	}
	last.Bytes = last.Bytes[:len(last.Bytes)-1]
	pdf, _, err := r.Summary(nil)
	if err != nil {
		t.Fatal(err)
	}
	if v := Verify(pdf, nil); strings.Contains(said(v), "unpacks to more than") {
		t.Errorf("as much as may be: %s", said(v))
	}
}
