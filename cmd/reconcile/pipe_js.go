package main

// ignoreBrokenPipe has nothing to do where there are no signals.
func ignoreBrokenPipe() {}
