// Package link does the arithmetic of picture links: what a format needs and
// what a chain of source, cables, extenders, switcher and display carries.
//
// # Words
//
//	signal     a timing with colour depth (bits per component) and chroma
//	chroma     4:4:4 (RGB counts as that), 4:2:2 or 4:2:0
//	character  ten bits on each of the three TMDS pairs, for eight of data
//	capacity   what a part carries: a TMDS character rate, FRL or DisplayPort lanes
//	part       one member of the chain, with its capacity and what else it refuses
//
// # Symbols
//
//	f_p  pixel clock, MHz        f_c  character rate, MHz
//	b    bits per component      R    raw rate, Gbit/s = f_c × 30 / 1000
//	                             D    data rate, Gbit/s = f_c × 24 / 1000
//
//	f_c = f_p × b/8        for 4:4:4      (check value H-001)
//	f_c = f_p              for 4:2:2      (H-002)
//	f_c = f_p × b/8 / 2    for 4:2:0      (H-003)
//
// # Example
//
// 2160p60 in 8 bit 4:4:4: f_p 594 MHz, f_c 594 MHz, R 17.82, D 14.256 Gbit/s:
// passes 600 MHz (HDMI 2.0), not 340 MHz (HDMI 1.4).
//
// # Limits
//
// A chain passes a signal only if every part does. Lengths of cables are
// judged by what the trade finds to work, since the standard sets none: too
// long gives tight, not fail. FRL is judged by plain arithmetic, which tells
// what surely fits; shorter blanking and compression may carry more (H-032).
package link
