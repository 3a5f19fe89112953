package crops

import _ "embed"

//go:embed crops.schema.json
var schema string

// Schema returns the JSON Schema (draft 2020-12) of what halflid crop --json
// prints. It says each figure's unit and range, and knows no other fields.
func Schema() []byte { return []byte(schema) }
