package words

import (
	"slices"
	"strings"
)

// linesText is "line 7", or "lines 2-4, 7".
func linesText(lines []int) string {
	if len(lines) == 1 {
		return "line " + itoa(lines[0])
	}
	return "lines " + runs(lines)
}

// runs prints whole numbers with runs joined: "1-3, 7".
func runs(numbers []int) string {
	sorted := slices.Compact(slices.Sorted(slices.Values(numbers)))
	var parts []string
	for i := 0; i < len(sorted); {
		j := i
		for j+1 < len(sorted) && sorted[j+1] == sorted[j]+1 {
			j++
		}
		part := itoa(sorted[i])
		if j > i {
			part += "-" + itoa(sorted[j])
		}
		parts, i = append(parts, part), j+1
	}
	return strings.Join(parts, ", ")
}
