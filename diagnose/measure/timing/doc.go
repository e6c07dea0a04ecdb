// Package timing knows picture formats: how a technician writes them, the
// timings that standards list for them and those that formulas give.
//
// # Words
//
//	format   size, rate, progressive or interlaced: "2160p60", "1920x1200p60 RB"
//	timing   a format with its pixel clock (MHz), porches, syncs and totals
//	method   which rule makes the timing: CTA list, DMT list, CVT, CVT-RB,
//	         CVT-RB v2 or GTF
//
// # Symbols
//
//	f_p  pixel clock, MHz            H_t  pixels in a line, blanking included
//	f_h  line rate, kHz = f_p / H_t  V_t  lines in a frame, blanking included
//	f_v  frame rate, Hz = f_p / (H_t V_t); the field rate is twice that
//
// # Example
//
//	f, _ := timing.ParseFormat("1080p60")
//	t, _ := timing.Resolve(f) // CTA VIC 16, 148.5 MHz, 2200 x 1125
//
// Without a method the CTA list is looked up first, then the DMT list (reduced
// blanking before full), then CVT-RB is computed: the order in which a
// present-day source chooses. Rates at 1000/1001 (59.94 …) use the same list
// entry with its clock scaled.
//
// # Limits
//
// No borders, no interlaced formulas, no RB v3. The lists leave out formats
// that repeat pixels, but for 480i and 576i.
package timing
