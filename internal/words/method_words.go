package words

// drawbarU is the standard uncertainty of what a hinged drawbar puts on the
// coupling, in kilograms.
const drawbarU = 25

// paragraph is a short heading and its text.
type paragraph struct{ Head, Text string }

// method is the page on how the figures come about: the model, its formulas
// and their sources, in plain words.
//
// Sources: JCGM 100:2008, OIML R 76-1:2006, JCGM 106:2012, ILAC-G8:09/2019,
// and Baarda's test for single faults, as the text says.
func (w *Words) method() []paragraph {
	all := append(w.methodOfLoads(), w.methodOfTests()...)
	for i := range all {
		all[i] = paragraph{say(w.put(all[i].Head)), say(w.put(all[i].Text))}
	}
	return all
}

func (w *Words) methodOfLoads() []paragraph {
	ties := "Where the wheelbase and the distances to the coupling and the trailer axle are known, the moments must balance: what leaves the front axle when coupled is download × a/w, the nose load of the trailer alone is download × L/n (w wheelbase, a rear axle to coupling, L coupling to trailer axle, n nose support to trailer axle). They are used with an allowance for friction and slope."
	if !w.plain() {
		ties += " A tensioned hitch has to move as much moment to the front axle as to the trailer's. Without lengths a weighing with the hitch tensioned gives no download."
	}
	download := "The download is how much heavier the vehicle is coupled than alone."
	if w.drawbar() {
		download = "A hinged drawbar puts no download on the coupling but its own weight, 0 " + w.plusMinus(drawbarU) + " " + w.Unit + "."
		ties = "A hinged drawbar passes no moment on: no length is needed."
	} else if !w.plain() {
		download = "The download is how much heavier the vehicle is coupled than alone; it is never taken from a weighing with the hitch tensioned."
	}
	conserved := "No mass is lost by coupling: the vehicle and trailer axles together carry the same, coupled or uncoupled."
	if !w.plain() {
		conserved = "No mass is lost by coupling: the vehicle and trailer axles together carry the same, coupled or uncoupled, and a load-distribution hitch moves load between axles but adds none."
	}
	return []paragraph{
		{"What is looked for", "The load on every axle: of the vehicle alone, of the trailer alone and of both coupled, in travelling condition, with everyone and everything on board that travels. " + download},
		{"What must hold", conserved + " These sums hold exactly."},
		{"What a reading is worth", "A reading is the sum of the loads on the deck, less what was left out, plus what was on board only then. Its standard uncertainty u is u² = e²/12 + (e/4)²/3 + mpe²/3 + split²: rounding to the [interval] e (JCGM 100, F.2.2.1), zero set to e/4, the maximum permissible error mpe of the scale's class on verification (OIML R 76-1, Table 6), and what weighing only part of the outfit adds. On pads each weigher under what was read adds its part. Repeats on one scale average out rounding and zero only. Where the display of the empty deck was written down, the zero is one common unknown of the scale."},
		{"What one scale does to all its readings", "Each scale may read a little high or low throughout, within its class in service (OIML R 76-1, 3.5.2) or its certificate. That one error is solved for, so it largely cancels in differences made on the same scale."},
		{"What the lengths add", ties},
	}
}

func (w *Words) methodOfTests() []paragraph {
	return []paragraph{
		{"How it is solved", "All equations are solved together so that the sum of (residual/u)² is smallest and the exact sums hold. Every result has a standard uncertainty u from all its causes (JCGM 100), and is printed with U = 2u, which holds the true value about 95 times in 100. What the readings do not fix is called not determined and is never given a number."},
		{"Do the readings agree?", "The sum of squares is compared with chi-square: p below 0.001, or one reading off by more than 3.29 of its own standard deviations (Baarda), is called disagreement; so is a load below zero, or a ticket that does not add up. p below 0.05 is poor agreement, and the uncertainty of every check is then multiplied by √(χ²/dof). Likely single mistakes are tried and listed, never applied."},
		{"What is asked", "A figure that is possible but looks wrong is questioned at its line. Until the line confirms it, the answer is never within."},
		{"How a rating is compared", "Within: value + U is not above the limit. Over: value − U is above it. Between them: unsettled, with the probability of being over, Φ((value − limit)/u) (JCGM 106; guarded acceptance, ILAC-G8). With the simple rule the value alone decides (simple acceptance, ILAC-G8 4.2.1). Of several limits on one load the lowest governs. If wheels were weighed separately, the worst one is compared: worst verdict first, then smallest margin."},
		{"What decides", "The state the outfit travels in, the vehicle alone where it was found, and the checks that have no state. Guides are common practice and decide nothing."},
	}
}
