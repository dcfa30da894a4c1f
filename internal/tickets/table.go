package tickets

import (
	"slices"
	"strings"
)

// table holds what a form lists for a job by name: the lines of the job and
// those of no job.
type table[E namedLine] struct {
	own, shared     []E
	byName, byNames map[string]int // folded name → place in own, in shared
}

// namedLine is a line that lists a name.
type namedLine interface{ key() cell }

// newTable files the shared lines of a form.
func newTable[E namedLine](shared []E) table[E] {
	return table[E]{shared: shared, byNames: indexNames(shared, nil)}
}

// with adds a job's own lines. A name listed twice is refused.
func (t table[E]) with(own []E) table[E] {
	t.own, t.byName = own, indexNames(own, t.byNames)
	return t
}

// indexNames files lines under their names; of two names equal but for case
// and spaces the second is refused.
func indexNames[E namedLine](lines []E, base map[string]int) map[string]int {
	if len(lines) == 0 {
		return nil
	}
	index := make(map[string]int, len(lines))
	for i, e := range lines {
		c := e.key()
		if c.blank() {
			continue
		}
		folded := foldName(c.text())
		_, here := index[folded]
		_, there := base[folded]
		if here || there {
			c.refuse(c.shown()+" is listed twice", "each name once", "")
			continue
		}
		index[folded] = i
	}
	return index
}

// find gives the line that lists a name, spelt exactly so, or nil.
func (t *table[E]) find(name string) *E {
	folded := foldName(name)
	if i, ok := t.byName[folded]; ok && t.own[i].key().text() == name {
		return &t.own[i]
	}
	if i, ok := t.byNames[folded]; ok && t.shared[i].key().text() == name {
		return &t.shared[i]
	}
	return nil
}

// names gives the listed names.
func (t *table[E]) names() []string {
	var names []string
	for _, lines := range [][]E{t.own, t.shared} {
		for _, e := range lines {
			names = append(names, e.key().text())
		}
	}
	return names
}

// all lists the lines in the order of the form; they are not for changing.
func (t *table[E]) all() []E {
	switch {
	case len(t.own) == 0:
		return t.shared
	case len(t.shared) == 0:
		return t.own
	}
	both := append(slices.Clone(t.own), t.shared...)
	slices.SortStableFunc(both, func(a, b E) int { return a.key().rec.first - b.key().rec.first })
	return both
}

// foldName is a name without regard to case and spaces.
func foldName(name string) string {
	if !strings.ContainsFunc(name, func(r rune) bool { return r <= ' ' || r > 'z' || 'A' <= r && r <= 'Z' }) {
		return name // as most are
	}
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}
