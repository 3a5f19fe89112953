// Package demo holds the scene that is shown when no photograph is given: an
// invented fishing harbour and boatyard at low tide, made by cmd/harbour.
package demo

import _ "embed"

//go:embed harbour.jpg
var harbour []byte

// Photo returns the name and the bytes of the demo scene, a JPEG of 1600 by
// 1200 pixels. The bytes are shared: do not change them. Nothing is decoded.
func Photo() (name string, data []byte) { return "harbour.jpg", harbour }

//go:embed harbour.plan.json
var decided []byte

// Plan returns the plan file that the demo begins with: a wheelbarrow left out,
// and two thumbnails kept. The bytes are shared: do not change them.
func Plan() []byte { return decided }
