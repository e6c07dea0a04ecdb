package edid

// establishedDMT gives, for the 17 bits of bytes 0x23 to 0x25 from the top
// bit down, the DMT id, or 0 where the timing is older than DMT and stands in
// establishedOther. Source: ran edid-decode 0.1~git20220315
// (--list-established-timings); check value E-015.
var establishedDMT = [17]int{
	0, 0, 0x04, 0, 0x05, 0x06, 0x08, 0x09,
	0x0a, 0x0b, 0, 0x0f, 0x10, 0x11, 0x12, 0x24,
	0,
}

// establishedOther holds the timings of establishedDMT that have no DMT id,
// keyed by bit number.
var establishedOther = map[int]formatRow{
	0:  {0, 720, 400, 'p', 9, 5, 28320, 18, 108, 54, 0, '-', 21, 2, 26, 0, '+'},
	1:  {0, 720, 400, 'p', 9, 5, 35500, 18, 108, 54, 0, '-', 12, 2, 35, 0, '+'},
	3:  {0, 640, 480, 'p', 4, 3, 30240, 64, 64, 96, 0, '-', 3, 3, 39, 0, '-'},
	10: {0, 832, 624, 'p', 4, 3, 57284, 32, 64, 224, 0, '-', 1, 3, 39, 0, '-'},
	16: {0, 1152, 870, 'p', 192, 145, 100000, 48, 128, 128, 0, '+', 3, 3, 39, 0, '+'},
}

// establishedIII gives the DMT ids of the 44 bits of an established timings
// III descriptor (tag F7), from byte 6 bit 7 down. Same source.
var establishedIII = [44]int{
	0x01, 0x02, 0x03, 0x07, 0x0e, 0x0c, 0x13, 0x15,
	0x16, 0x17, 0x18, 0x19, 0x20, 0x21, 0x23, 0x25,
	0x27, 0x2e, 0x2f, 0x30, 0x31, 0x29, 0x2a, 0x2b,
	0x2c, 0x39, 0x3a, 0x3b, 0x3c, 0x33, 0x34, 0x35,
	0x36, 0x37, 0x3e, 0x3f, 0x41, 0x42, 0x44, 0x45,
	0x46, 0x47, 0x49, 0x4a,
}
