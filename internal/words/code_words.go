package words

// SquareCode is what a phone shows that reads the square code of a page: what
// the paper is, the hash of its record, and how to find the file. Its letters
// are those of the code's alphanumeric mode (ISO/IEC 18004: capitals, digits,
// space and $%*+-./:), so that it stays small.
func SquareCode(hash string) string {
	return say("SUMMARY OF WEIGHBRIDGE TICKETS. SHA-256 OF ITS RECORD: " + hash + ". FIND IT: RECONCILE VERIFY --FIND")
}
