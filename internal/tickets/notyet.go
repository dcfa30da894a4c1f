package tickets

import "slices"

// notYet lists what the forms may hold by the contract and no later step
// computes with so far. It is refused, never ignored; a line goes when the
// work is done.
var notYet = []string{}

// notYet refuses a cell whose meaning is listed as not supported yet.
func (c cell) notYet(what string) bool {
	if !slices.Contains(notYet, what) {
		return false
	}
	if c.blank() {
		c.refuse(c.name+" left blank is not supported yet", "a figure", "fill it in")
	} else {
		c.refuse(c.shown()+" is not supported yet", "a form without it", "")
	}
	return true
}
