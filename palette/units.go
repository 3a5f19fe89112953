// Package palette holds the units in which colour and value are measured, and
// the published formulas that lead from one to another. A bare float64 never
// stands for a colour quantity: the unit is in the type.
package palette

// Unit is any of this package's scalar units; it marks what a plane of
// numbers means (see imageproc.Plane).
type Unit interface{ ~float64 }

// Light is one channel of linear-light sRGB, 0 (none) to 1 (display white).
type Light float64

// Y is relative luminance, 0 (no light) to 1 (perfect diffuser, display white).
type Y float64

// L is CIE L*, 0 (black) to 100 (white).
type L float64

// Value is Munsell value, 0 (black) to 10 (white), on the scale of ASTM D1535.
type Value float64

// RGB is a colour in linear-light sRGB.
type RGB struct{ R, G, B Light }

// SRGB is a colour as the 8-bit codes of IEC 61966-2-1.
type SRGB struct{ R, G, B uint8 }
