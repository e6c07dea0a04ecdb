// Package sums is the list of sums by name: it describes the inputs of each,
// reads them, calls the arithmetic of its neighbours and fills a result with
// verdict, formula, sources, facts and the rows of a chart.
//
// # Example
//
//	sum, _ := sums.Find("link")
//	r, err := sum.Run(measure.Values{
//		"format": {"2160p60"},
//		"part":   {"source=HDMI 2.0", "cable=High Speed, 7 m", "display=HDMI 2.0"},
//	})
//	// r.Verdict == measure.Fail; r.Fact("format-fits") == "no"
//
// # Rules
//
// A sum keeps no state. An input that cannot be used is an error that names
// it; a bad outcome is a verdict. A fact is given only where the sum settles
// it. Every rule used is named in Sources with its check value.
//
// To add a sum: write its spec and run function in the file of its field, put
// it into All and its name into measure.Names; a test keeps the two alike.
package sums
