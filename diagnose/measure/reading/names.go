package reading

// The names of all facts. They are stable: other parts map them to questions.
const (
	EDIDHeader        = "edid-header"
	EDIDChecksum      = "edid-checksum"
	EDIDVersion       = "edid-version"
	EDIDName          = "edid-name"
	EDIDInput         = "edid-input"
	EDIDMissing       = "edid-extension-missing"
	EDIDUnannounced   = "edid-extension-unannounced"
	EDIDHDMI          = "edid-hdmi-block"
	EDIDAudio         = "edid-audio"
	EDIDChannels      = "edid-audio-channels"
	EDIDCompressed    = "edid-audio-compressed"
	EDIDFirst         = "edid-first-format"
	EDIDPreferred     = "edid-preferred-format"
	EDIDInterlaced    = "edid-preferred-interlaced"
	EDIDHighest       = "edid-highest-format"
	EDIDHighestClock  = "edid-highest-clock"
	EDIDHighest420    = "edid-highest-only-420"
	EDIDLimit         = "edid-tmds-limit"
	EDIDLimitStated   = "edid-tmds-limit-stated"
	EDIDSCDC          = "edid-scdc"
	EDIDFRL           = "edid-frl"
	EDIDHDR           = "edid-hdr"
	EDIDRange         = "edid-rgb-range-selectable"
	EDIDAddress       = "edid-physical-address"
	EDIDVideoLatency  = "edid-video-latency"
	EDIDAudioLatency  = "edid-audio-latency"
	EDIDProblems      = "edid-problems"
	USBDevices        = "usb-devices"
	USBSpeed          = "usb-speed"
	USBCameraSpeed    = "usb-camera-speed"
	USBTier           = "usb-tier"
	USBHubs           = "usb-hubs-in-line"
	USBHubPower       = "usb-hub-power"
	USBHubChain       = "usb-bus-powered-hubs-in-line"
	USBDeclared       = "usb-declared-current"
	USBPort           = "usb-port-current"
	USBFits           = "usb-current-fits"
	USBTotal          = "usb-declared-current-total"
	LinkUp            = "link-up"
	LinkSpeed         = "link-speed"
	LinkSpeedPossible = "link-speed-possible"
	LinkDuplex        = "link-duplex"
	LinkAuto          = "link-autonegotiation"
	LinkErrors        = "link-errors"
	LinkCRC           = "link-crc-errors"
	LinkLate          = "link-late-collisions"
	LinkDropped       = "link-dropped"
	LinkMTU           = "link-mtu"
	AddressKind       = "address-kind"
	Address           = "address"
	PingAnswers       = "ping-answers"
	PingLoss          = "ping-loss"
	PingAverage       = "ping-time-average"
	PingWorst         = "ping-time-worst"
	PingDuplicates    = "ping-duplicates"
	PingUnreachable   = "ping-unreachable"
	PoEUsed           = "poe-used"
	PoEBudget         = "poe-budget"
	PoELeft           = "poe-left"
	PoEDelivering     = "poe-ports-delivering"
	PoERefused        = "poe-ports-refused"
	SerialBytes       = "serial-bytes"
	SerialEnding      = "serial-line-ending"
	SerialPrintable   = "serial-printable"
	SerialParity      = "serial-parity-suspected"
	SerialSpeed       = "serial-speed-suspected"
	SerialEscape      = "serial-escape-as-text"
)

// Name describes one fact: what its value is and, for words, which there are.
type Name struct {
	Name   string
	Values string
	Unit   string
	Means  string
}

// Names lists every fact a reading can hold, in the order of the constants.
func Names() []Name {
	return []Name{
		{EDIDHeader, "right, damaged", "", "the eight header bytes of the EDID"},
		{EDIDChecksum, "right, wrong", "", "the checksums of all blocks"},
		{EDIDVersion, "text", "", "version and revision, 1.4"},
		{EDIDName, "text", "", "the name the display gives"},
		{EDIDInput, "digital, analogue", "", "kind of the video input"},
		{EDIDMissing, "true, false", "", "announced extension blocks that were not read"},
		{EDIDUnannounced, "true, false", "", "blocks that no source reads"},
		{EDIDHDMI, "true, false", "", "the block that makes a source send HDMI instead of DVI"},
		{EDIDAudio, "none, basic, stereo, multichannel", "", "sound that the display says it takes"},
		{EDIDChannels, "number", "", "most LPCM channels"},
		{EDIDCompressed, "true, false", "", "takes compressed sound as well"},
		{EDIDFirst, "text", "", "first detailed timing, 1920x1080p60"},
		{EDIDPreferred, "text", "", "preferred format, 1920x1080p60"},
		{EDIDInterlaced, "true, false", "", "the preferred format is interlaced"},
		{EDIDHighest, "text", "", "format with the highest pixel rate"},
		{EDIDHighestClock, "number", "MHz", "pixel clock of that format"},
		{EDIDHighest420, "true, false", "", "that format works in 4:2:0 only"},
		{EDIDLimit, "number", "MHz", "highest TMDS character rate that counts"},
		{EDIDLimitStated, "true, false", "", "the display states that rate itself"},
		{EDIDSCDC, "true, false", "", "can set up a link above 340 MHz"},
		{EDIDFRL, "number", "", "highest FRL code, 0 none"},
		{EDIDHDR, "true, false", "", "takes an HDR curve (PQ or HLG)"},
		{EDIDRange, "true, false", "", "RGB range can be selected by the source"},
		{EDIDAddress, "text", "", "CEC physical address, 1.0.0.0"},
		{EDIDVideoLatency, "number", "ms", "picture delay that the display states"},
		{EDIDAudioLatency, "number", "ms", "sound delay that the display states"},
		{EDIDProblems, "number", "", "faults of the EDID itself"},
		{USBDevices, "number", "", "devices listed, root hubs left out"},
		{USBSpeed, "number", "Mbit/s", "slowest link of a device other than a hub, keyboard or pointer"},
		{USBCameraSpeed, "number", "Mbit/s", "slowest link of a camera"},
		{USBTier, "number", "", "deepest tier, the root hub being 1"},
		{USBHubs, "number", "", "hubs one behind the other, root hub left out"},
		{USBHubPower, "self, bus", "", "supply of the hubs; bus if any of them"},
		{USBHubChain, "true, false", "", "a bus-powered hub behind a bus-powered hub"},
		{USBDeclared, "number", "mA", "highest current a bus-powered device declares"},
		{USBPort, "number", "mA", "what the port of that device must supply"},
		{USBFits, "true, false", "", "declared current within what the port must supply"},
		{USBTotal, "number", "mA", "sum of the declared currents of bus-powered devices"},
		{LinkUp, "true, false", "", "the network port has a link"},
		{LinkSpeed, "number", "Mbit/s", "speed of the link"},
		{LinkSpeedPossible, "number", "Mbit/s", "highest speed that both ends offer"},
		{LinkDuplex, "full, half", "", "duplex of the link"},
		{LinkAuto, "true, false", "", "autonegotiation is on"},
		{LinkErrors, "number", "", "frames received or sent with errors"},
		{LinkCRC, "number", "", "frames received with a wrong check sequence"},
		{LinkLate, "number", "", "late collisions"},
		{LinkDropped, "number", "", "frames dropped"},
		{LinkMTU, "number", "bytes", "largest payload of a frame"},
		{AddressKind, "none, link-local, private, shared, public, loopback", "", "kind of the IPv4 address"},
		{Address, "text", "", "IPv4 address with prefix length"},
		{PingAnswers, "true, false", "", "at least one answer came"},
		{PingLoss, "number", "%", "packets without an answer"},
		{PingAverage, "number", "ms", "average round trip"},
		{PingWorst, "number", "ms", "longest round trip"},
		{PingDuplicates, "true, false", "", "one request was answered twice"},
		{PingUnreachable, "true, false", "", "someone answered that the target cannot be reached"},
		{PoEUsed, "number", "W", "power that the switch delivers"},
		{PoEBudget, "number", "W", "power that the switch has"},
		{PoELeft, "number", "W", "budget less what is used"},
		{PoEDelivering, "number", "", "ports that deliver power"},
		{PoERefused, "number", "", "ports where power was refused or cut off"},
		{SerialBytes, "number", "", "bytes captured"},
		{SerialEnding, "cr, lf, crlf, framed, none, mixed", "", "how the lines end"},
		{SerialPrintable, "number", "%", "bytes that are text"},
		{SerialParity, "true, false", "", "text with bit 7 set so that parity is even: 7E1 read as 8N1"},
		{SerialSpeed, "true, false", "", "bytes as a wrong speed makes them"},
		{SerialEscape, "true, false", "", "a return typed as backslash and letter"},
	}
}
