// Package hdcp tells whether protected content can pass a chain: versions,
// stream type, devices and levels. It never says how to get round protection.
//
// # Words
//
//	1.x, 2.x     two unlike families; a device has keys for one, the other or both
//	stream type  0: may go over 1.4 or later; 1: 2.2 or later only
//	repeater     a device that passes protected content on (switcher, splitter, receiver)
//	level        a repeater in the line counts as one
//
// # Example
//
// A 2.2 source with type 1 content, a switcher and a 1.4 display: no picture,
// and no fault of the switcher.
//
// # Limits
//
// Versions from open kernel headers (read) and HDCP 1.4 and 2.2 (from memory).
// What a source does when refused (black, lower resolution, message) is its
// own choice.
package hdcp
