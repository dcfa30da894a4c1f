package tickets

import "fmt"

// Error gives the fault as file:line:column: what (wanted), and a hint on a
// line of its own where there is a cure.
func (f Fault) Error() string {
	s := fmt.Sprintf("%s:%d:%d: %s", f.File, f.Line, f.Column, f.What)
	if f.Wanted != "" {
		s += " (" + f.Wanted + ")"
	}
	if f.Hint != "" {
		s += "\nhint: " + f.Hint
	}
	return s
}
