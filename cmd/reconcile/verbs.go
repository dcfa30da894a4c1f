package main

// verbs lists what the program can do, in the order the usage shows them.
func verbs() []verb {
	return []verb{summaryVerb, formsVerb, planVerb, adjustVerb, signVerb, verifyVerb, keyVerb, completionVerb(), manVerb()}
}
