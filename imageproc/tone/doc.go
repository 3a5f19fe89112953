// Package tone squints at a picture and reduces it to a few values: Gaussian
// blur in linear light, the cuts between values, and the tone that each value is
// painted in.
package tone
