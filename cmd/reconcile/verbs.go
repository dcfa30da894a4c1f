package main

// verbs lists what the program can do, in the order the usage shows them.
func verbs() []verb {
	return []verb{summaryVerb, estimateVerb, formsVerb, planVerb, adjustVerb, signVerb, verifyVerb, keyVerb, completionVerb(), manVerb()}
}
