package main

// digits85 are the 85 digits of [base85] in their order: the ASCII characters
// from ( to ~ without < and \, so none that ends a text in HTML or that an
// editor, a mail program or a server changes. The alphabet is our own: those of
// RFC 1924 and of ZeroMQ (RFC 32) have < and &.
var digits85 = func() (digits []byte) {
	for c := byte('('); c <= '~'; c++ {
		if c != '<' && c != '\\' {
			digits = append(digits, c)
		}
	}
	return digits
}()

// base85 writes bytes as text, five characters for four bytes, of which the
// first is the largest; for the last n of them n + 1 characters. Base64 takes
// 5⅓ for four. assets/worker.js reads it.
func base85(b []byte) []byte {
	text := make([]byte, 0, len(b)/4*5+5)
	for ; len(b) > 0; b = b[min(4, len(b)):] {
		var four [4]byte
		n := copy(four[:], b)
		v := uint32(four[0])<<24 | uint32(four[1])<<16 | uint32(four[2])<<8 | uint32(four[3])
		var five [5]byte
		for i := 4; i >= 0; i-- {
			five[i] = digits85[v%85]
			v /= 85
		}
		text = append(text, five[:n+1]...)
	}
	return text
}
