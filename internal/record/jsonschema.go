package record

import _ "embed"

// JSONSchema describes the documents of this package, key by key and code by
// code (JSON Schema, draft 2020-12): $defs has Record, Plan, Visit
// and Estimate.
//
//go:embed schema.json
var JSONSchema []byte
