//go:build !otherwords

package words

// say is the one way by which a sentence or label leaves the package; what was
// typed is escaped here, whatever sentence it is in. The build tag otherwords
// puts another in its place, to test that nothing but the pages depends on the
// words; a test, to see that nothing goes another way.
var say = Escape
