package plan

import _ "embed"

//go:embed plan.schema.json
var schema string

// Schema returns the JSON Schema (draft 2020-12) of the plan file. It says all
// that a schema can: types, ranges, lists of words, which fields go together.
// That a crop lies inside the photo and that cuts rise, Read alone checks.
func Schema() []byte { return []byte(schema) }
