package words

// sayAll says each of several sentences.
func sayAll(all []string) []string {
	for i := range all {
		all[i] = say(all[i])
	}
	return all
}
