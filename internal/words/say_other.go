//go:build otherwords

package words

import "strings"

// OtherWords says whether this is the build whose every sentence was changed.
const OtherWords = true

// say changes every sentence: capitals throughout, which keeps the figures and
// may be done twice.
var say = func(s string) string { return strings.ToUpper(Escape(s)) }
