// Package reading turns files that a technician can bring along into facts for
// a call: what a display says about itself, what a computer says about its USB
// devices, its network port and its addresses, what a ping or a switch answered,
// what came over a serial line.
//
// # Words
//
//   - reading: what was found in one part of a file, with its kind;
//   - fact: a named value with its figures as text, such as edid-hdmi-block =
//     false, "no HDMI block: the display says DVI". Names.go lists all names;
//   - remark: a plain sentence on what a figure means, with the check value and
//     the source behind it;
//   - decoded: everything that was read, for machines.
//
// # Kinds
//
//	edid     binary, or a hexadecimal dump of any usual layout
//	usb      lsusb -v, lsusb -t, or both in one text
//	ethtool  ethtool PORT, ethtool -S PORT, or both
//	ip       ip addr, ip -s link, or ip -s addr
//	ping     the summary lines of ping of any usual system
//	poe      a switch's table of ports with power, in plain columns
//	serial   bytes of a serial line in hexadecimal
//
// # Worked example
//
//	readings, err := reading.Read(file) // a dump of a display's EDID
//	readings[0].Kind                    // "edid"
//	readings[0].Fact(reading.EDIDHDMI)  // false
//	readings[0].Remarks[0].Text         // "picture without sound: …"
//
// Read recognises the kind by content. A file may hold several kinds and, for
// EDID, several displays; each becomes a reading, in the order of the file.
//
// # Limits
//
// Everything is pure: no files, no clock. Text is read as English, as these
// tools write it with the C locale. Serial bytes are taken for serial only if
// nothing else fits.
package reading
