//go:build otherwords

package words

import "strings"

// say changes every sentence: capitals throughout, which keeps the figures and
// may be done twice.
var say = func(s string) string { return strings.ToUpper(Escape(s)) }
