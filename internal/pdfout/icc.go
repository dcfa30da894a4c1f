package pdfout

import (
	_ "embed" // the profile, packed
	"sync"
)

// The colours on the pages are those of sRGB. PDF/A requires them to be named by a
// profile inside the file (ISO 19005-3, 6.2.3); this is the smallest one that
// describes sRGB, written number by number in icc_test.go: a profile file would be
// another work with a licence of its own.

// colourSpace names the colours in the output intent.
const colourSpace = "sRGB IEC61966-2.1"

//go:embed faces/profile.z
var profilePacked []byte

// profileStream is the profile as the object that every file has.
var profileStream = sync.OnceValue(func() []byte { return packedStream("/N 3", profilePacked) })
