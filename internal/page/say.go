package page

import "reconcile/internal/words"

// say gives a text of the page by its key.
func say(key string, args ...string) string { return words.OnPage(key, args...) }
