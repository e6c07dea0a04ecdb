// Package optics does the sums of pictures in rooms: size from the diagonal,
// throw distance, luminance, contrast against ambient light, legibility.
//
// # Symbols
//
//	d   diagonal, m        a:b aspect       w = d a/√(a²+b²), h = d b/√(a²+b²)
//	L   luminance, cd/m² = Φ g / (π A)      Φ lumens, g gain, A picture area m²
//	C   contrast = (L_white + L_room) / (L_black + L_room)
//	φ   angle in minutes of arc = 3438 × size / distance
//
// # Example
//
// 5000 lm on 2.0 m × 1.125 m at gain 1: 5000 / (π × 2.25) = 707 cd/m².
//
// # Limits
//
// Matt screens, viewed from the front. Contrast classes are those of
// ANSI/INFOCOMM 3M-2011, from memory.
package optics
