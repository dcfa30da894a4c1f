package record

import _ "embed"

// JSONSchema describes the documents of this package, key by key and code by
// code (JSON Schema, draft 2020-12): $defs has Record, Plan and Visit.
//
//go:embed schema.json
var JSONSchema []byte
