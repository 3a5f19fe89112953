// Package mass finds few flat shapes with real edges in a picture: the plan
// that a painter would block in. A picture is taken apart once into base
// shapes whose outlines lie on edges of the picture (Build), the base shapes
// get one of a few values (Base.Values), and shapes are pulled together or
// broken up along one nested order (Layout.Shapes).
//
// What the painter decided about single base shapes (Cutting) holds in every
// plan, whatever its numbers of values and shapes:
//
//   - Fixed: the shape has that value, is never pulled into another, and only
//     shapes of its value join it.
//   - Weld: base shapes of one set that touch, directly or over others of the set,
//     are one shape and go as one. They begin with the fixed value that covers
//     more than half of their area; without one with the value whose centre is
//     nearest to their mean. Fixed values that cover half or less do not hold
//     (Layout.Overruled).
//   - Apart: no shape holds base shapes of both sides. Where the values alone
//     would join them the side that loses less takes the next value, and what
//     would join them later is not done, so that more shapes may be left (Least)
//     and a brush mark may stay. Of shapes in one value, of two with one fixed
//     value that meet, of what is welded together, and of more pairs than the
//     values can part, some do not hold (Layout.Broken).
//   - Detail: the plan is cut first; then the base shapes of all sets start again
//     from the finest shapes and are pulled together there alone, until each set
//     has at most Most shapes. Counted are shapes that lie wholly inside the set;
//     one that reaches outside is part of what is outside and counts for none.
//     Brush marks inside go. Outside the sets every pixel keeps the value that it
//     has without details; which shapes are connected there can change only
//     through what lies inside. So a plan of S shapes can have more. What is
//     welded to a base shape outside its set belongs to none. Fixed values and
//     pairs may keep a set from having as few shapes as it should, and where the
//     finest shapes would join a pair, they begin as the plan has them.
//
// A cutting without decisions gives the plan that the picture alone gives.
//
// Every step is deterministic, whatever the number of goroutines, and works on
// flat arrays; ties are broken by what lies in the picture before they are
// broken by where it lies, so that a mirrored picture gives mirrored shapes.
//
// Source: ours, from parts named beside each step.
package mass
