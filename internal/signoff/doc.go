// Package signoff makes a finished PDF stand up as evidence: it fills in the
// file's own hash, signs it, and finds what was changed, added or cut off.
//
// It reads only what this program writes: PDF 1.7 with a plain
// cross-reference table, followed by nothing but signatures. Everything else
// is refused in words, which keeps reading hostile files short and bounded.
//
// Two things hold a file together.
//
//   - /ID: both strings are the SHA-256 of the finished file, in 64
//     lower-case hex digits, computed with those digits as 0 ([FillID],
//     [CheckID]). Anyone can compute it: it finds accidents, not forgers.
//   - Signatures ([Sign]): PAdES baseline B-B, `ETSI.CAdES.detached`, over
//     the whole file up to and including the signature's own update.
//
// A signature is checked by writing its update again from what it says
// ([Document.Signatures]) and comparing every byte, so an update that does
// anything but add a signature is found without judging what it does.
//
// Sources: ISO 32000-1:2008, 7.5 (file structure), 12.8 (signatures);
// ETSI EN 319 142-1, 6 (baseline B-B); RFC 5652 (CMS); RFC 5035
// (signing-certificate-v2); RFC 6979 (repeatable ECDSA).
package signoff
