package plan

// kind is what a JSON value is, in the words of the error lines.
type kind string

const (
	isObject kind = "an object in { }"
	isList   kind = "a list in [ ]"
	isText   kind = "text in quotes"
	isNumber kind = "a number"
	isBool   kind = "true or false"
	isNull   kind = "null"
)

// node is one JSON value with its place in the file.
type node struct {
	kind    kind
	at, end int // bytes of the file
	text    string
	num     float64
	members []member
	list    []node
}

// member is one field of an object. rawName is the name as written, in quotes.
type member struct {
	name, rawName string
	at            int
	value         node
}

// depth returns how deep brackets stand inside brackets, 1 for a value without.
func (n node) depth() int {
	deep := 0
	for _, v := range n.list {
		deep = max(deep, v.depth())
	}
	for _, m := range n.members {
		deep = max(deep, m.value.depth())
	}
	return deep + 1
}
