package reading

import _ "embed"

//go:embed reading.schema.json
var schema string

// Schema returns the JSON Schema (draft 2020-12) of what halflid read --json
// prints: a list of readings with the names of their files. The definitions
// "reading" and "line" are what a Reading and a Line marshal to. It says each
// figure's unit and range, and knows no other fields.
func Schema() []byte { return []byte(schema) }
