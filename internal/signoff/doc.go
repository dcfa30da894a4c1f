// Package signoff makes a finished PDF fit to be evidence: it fills in the
// file's own hash, signs it, and finds what was changed, added or cut off.
//
// [Examine] reads only what this program writes, and accounts for every byte of
// it: the header, the objects one after the other, ascending by number and
// place, the one table of where they are, its trailer and end mark, followed by
// nothing but signatures. There is one spelling of each. Everything else is
// refused for a reason that has a code, which keeps reading hostile files short
// and bounded, and leaves no room for what one reader shows and another does
// not.
//
// Three things hold a file together.
//
//   - /ID: both strings are the SHA-256 of the finished file, in 64
//     lower-case hex digits, computed with those digits as 0 ([FillID]).
//     Anyone can compute it: it finds accidents, not forgers.
//   - Drawing again: [Redrawn] compares the finished file with the one that
//     the record gives, byte for byte, or, where another build packed the
//     streams, object by object.
//   - Signatures ([Sign]): PAdES baseline B-B, `ETSI.CAdES.detached`, over
//     the entire file up to and including the signature's own update.
//
// A signature is checked by writing its update again from what it says
// ([Examine]) and comparing every byte, so an update that does
// anything but add a signature is found without judging what it does. Who
// signed, and whether that is somebody the reader trusts, is another question:
// see [Signer].
//
// What is found is a [Finding]: a code, a status and arguments. The best
// signature counts. [Attachments] reads files that other
// programs have written again, for looking at only.
//
// Sources: ISO 32000-1:2008, 7.5 (file structure), 12.8 (signatures);
// ETSI EN 319 142-1, 6 (baseline B-B); RFC 5652 (CMS); RFC 5035
// (signing-certificate-v2); RFC 6979 (repeatable ECDSA); RFC 9336 (purpose of
// a certificate for documents).
package signoff
