package words

import "strings"

// places says what the page for owners shows a line of a form as: a slip with
// the line's number on it, or a box or a name, which has no lines (0). Of line 0
// it says where the form's boxes are. It says "" of a line that is not there.
type places func(form string, line int) (name string, number int)

// reader picks what is said to who fills in forms, or to who has the page
// in front of them.
func (w *Words) reader(ofForms, ofPage string) string {
	if w.places == nil {
		return ofForms
	}
	return ofPage
}

// formLine is "line 4 of tickets.csv", or on the page "slip 1, line 3"; without
// a line the form alone, or where on the page its boxes are.
func (w *Words) formLine(file string, line int) string {
	if at := w.placesOf(file, line); at != "" {
		return at
	}
	if line == 0 {
		return file
	}
	return linesText([]int{line}) + " of " + file
}

// formLines is "lines 2-4 of tickets.csv", or on the page "slip 1, lines 1-3".
func (w *Words) formLines(file string, lines ...int) string {
	if at := w.placesOf(file, lines...); at != "" {
		return at
	}
	return linesText(lines) + " of " + file
}

// ticketLines is "line 7" of tickets.csv, where no other form can be meant, or
// on the page "slip 2, line 1".
func (w *Words) ticketLines(lines ...int) string {
	if at := w.placesOf("tickets.csv", lines...); at != "" {
		return at
	}
	return linesText(lines)
}

// placesOf is what the page shows lines of a form as, those of one slip
// together: "slip 1, line 2", or "slip 1 (lines 1-3) and slip 2 (line 1)"; "" where
// it shows none.
func (w *Words) placesOf(form string, lines ...int) string {
	if w.places == nil {
		return ""
	}
	var names []string
	numbers := map[string][]int{}
	for _, line := range lines {
		name, number := w.places(form, line)
		if name == "" {
			continue
		}
		names = addOnce(names, name)
		if number > 0 {
			numbers[name] = append(numbers[name], number)
		}
	}
	for i, name := range names {
		switch of := numbers[name]; {
		case len(of) == 0:
		case len(names) == 1:
			names[i] = name + ", " + linesText(of)
		default:
			names[i] = name + " (" + linesText(of) + ")"
		}
	}
	return listed(names)
}

// onDeckText says what was on the deck at a line of the tickets as a form writes
// it, "rear + trailer", or on the page in words: "all" is the whole trailer where
// that was weighed alone.
func (w *Words) onDeckText(onDeck string, line int) string {
	terms := strings.Split(onDeck, "+")
	if w.places == nil {
		return strings.Join(terms, " + ")
	}
	g := w.readingAt(line, "")
	for i, term := range terms {
		term = strings.TrimSpace(term)
		terms[i] = w.supportWord(term)
		if term == "all" && g != nil && g.Setup == "trailer_alone" {
			terms[i] = "whole trailer"
		}
	}
	return strings.Join(terms, " + ")
}

// button quotes a label of the page: a button or a box to tick.
func button(key string) string { return "“" + strings.TrimSpace(pageText[key]) + "”" }
