// Package mass finds few flat shapes with real edges in a picture: the plan
// that a painter would block in. A picture is taken apart once into base
// shapes whose outlines lie on edges of the picture (Build), the base shapes
// get one of a few values (Base.Values), and shapes are pulled together or
// broken up along one nested order (Layout.Shapes).
//
// Every step is deterministic, whatever the number of goroutines, and works on
// flat arrays; ties are broken by what lies in the picture before they are
// broken by where it lies, so that a mirrored picture gives mirrored shapes.
//
// Source: ours, from parts named beside each step.
package mass
