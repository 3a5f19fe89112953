package plan

import _ "embed"

//go:embed plan.schema.json
var schema string

// Schema returns the JSON Schema (draft 2020-12) of the plan file, as a copy. A
// file that is written is valid by it, and one that Read takes is too, unless
// only rounding brings a number into its range. It refuses what a schema can:
// wrong types, ranges, words, fields that do not go together. What hangs on
// several fields or on the whole file Read alone refuses: a crop outside the
// photo, cuts that do not rise, a panel with its long side first or too small,
// rings that enclose nothing, places in a list that is too short, a name of too
// many bytes, a field named twice.
func Schema() []byte { return []byte(schema) }
