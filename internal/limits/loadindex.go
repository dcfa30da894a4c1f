package limits

import "github.com/shopspring/decimal"

// loadIndexKg is the load of one tyre by its load index, 0 to 180, in kilograms.
//
// Source: list of symbols of load-capacity indices, UN R30 Annex 4 and R54
// Annex IV, from memory; compared with public transcriptions for 51 and above,
// from memory alone for 0 to 50.
var loadIndexKg = [...]float64{
	45, 46.2, 47.5, 48.7, 50, 51.5, 53, 54.5, 56, 58, // 0
	60, 61.5, 63, 65, 67, 69, 71, 73, 75, 77.5, // 10
	80, 82.5, 85, 87.5, 90, 92.5, 95, 97.5, 100, 103, // 20
	106, 109, 112, 115, 118, 121, 125, 128, 132, 136, // 30
	140, 145, 150, 155, 160, 165, 170, 175, 180, 185, // 40
	190, 195, 200, 206, 212, 218, 224, 230, 236, 243, // 50
	250, 257, 265, 272, 280, 290, 300, 307, 315, 325, // 60
	335, 345, 355, 365, 375, 387, 400, 412, 425, 437, // 70
	450, 462, 475, 487, 500, 515, 530, 545, 560, 580, // 80
	600, 615, 630, 650, 670, 690, 710, 730, 750, 775, // 90
	800, 825, 850, 875, 900, 925, 950, 975, 1000, 1030, // 100
	1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360, // 110
	1400, 1450, 1500, 1550, 1600, 1650, 1700, 1750, 1800, 1850, // 120
	1900, 1950, 2000, 2060, 2120, 2180, 2240, 2300, 2360, 2430, // 130
	2500, 2575, 2650, 2725, 2800, 2900, 3000, 3075, 3150, 3250, // 140
	3350, 3450, 3550, 3650, 3750, 3875, 4000, 4125, 4250, 4375, // 150
	4500, 4625, 4750, 4875, 5000, 5150, 5300, 5450, 5600, 5800, // 160
	6000, 6150, 6300, 6500, 6700, 6900, 7100, 7300, 7500, 7750, // 170
	8000, // 180
}

// kgOfIndex returns the load of one tyre in kilograms; ok is false outside 0 to 180.
func kgOfIndex(index int) (kg decimal.Decimal, ok bool) {
	if index < 0 || index >= len(loadIndexKg) {
		return decimal.Decimal{}, false
	}
	return decimal.NewFromFloat(loadIndexKg[index]), true
}

// symbol is a speed symbol of a tyre and the speed it means. Above says
// that the speed is exceeded rather than reached.
type symbol struct {
	Symbol string
	Kmh    int
	Above  bool
}

// speedSymbols lists the speed symbols, slowest first; H sorts between U and V.
// The load of an index is good up to the symbol's speed as far as H.
//
// Source: UN R30 and R54, speed category symbols; J to Y from several
// transcriptions, F and G from one or two, A1 to E from memory.
var speedSymbols = []symbol{
	{"A1", 5, false}, {"A2", 10, false}, {"A3", 15, false}, {"A4", 20, false}, {"A5", 25, false}, {"A6", 30, false},
	{"A7", 35, false}, {"A8", 40, false}, {"B", 50, false}, {"C", 60, false}, {"D", 65, false}, {"E", 70, false},
	{"F", 80, false}, {"G", 90, false}, {"J", 100, false}, {"K", 110, false}, {"L", 120, false}, {"M", 130, false},
	{"N", 140, false}, {"P", 150, false}, {"Q", 160, false}, {"R", 170, false}, {"S", 180, false}, {"T", 190, false},
	{"U", 200, false}, {"H", 210, false}, {"V", 240, false}, {"ZR", 240, true}, {"W", 270, false}, {"Y", 300, false},
}

// limitDigits is the number of decimals a divided limit keeps, rounded down:
// a limit must never grow by rounding.
const limitDigits = 6

// indexFitted chooses between the single and the dual index: dual where two
// tyres are fitted on an end of an axle, and, being the lower, where some number
// between one and two does (one axle single, the other dual).
func indexFitted(index []int, perEnd float64) int {
	if len(index) == 2 && perEnd > 1 {
		return index[1]
	}
	return index[0]
}
