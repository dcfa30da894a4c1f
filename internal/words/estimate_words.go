package words

// estimateHead heads whatever comes from stated masses alone.
func estimateHead() string { return say("from stated masses, nothing weighed") }

// estimateVerdict says the verdict of one check of an estimate.
func estimateVerdict(verdict string) string {
	switch verdict {
	case "likely_within":
		return say("likely within")
	case "likely_over":
		return say("likely over")
	case "open":
		return say("open")
	}
	return say("not known")
}

// estimateTrailerFrom says which mass of the trailer an estimate starts from.
func (w *Words) estimateTrailerFrom(code string) string {
	if code == "atm" {
		return say("the trailer is taken at its " + w.ratingLabel("atm") + ", as no empty mass is given")
	}
	return say("the trailer is taken at its " + w.ratingLabel(code) + " and the loads stated")
}

// estimateDriver says that a mass in running order has a driver and fuel in it.
func (w *Words) estimateDriver() string {
	const driverKg = 75
	return say("the mass in running order has a driver of " + w.massUnit(driverKg) + " and 90 % of the fuel in it (Regulation (EU) 1230/2012)")
}
