package room

import (
	"faultbook/diagnose/measure/edid"

	"gopkg.in/yaml.v3"
)

// Sheet is one room: what stands there and how it hangs together.
type Sheet struct {
	// Always "room".
	Kind string `yaml:"kind" json:"kind"`
	// Short kebab-case name; it equals the file's name.
	ID string `yaml:"id" json:"id"`
	// The room's name as it stands on its door.
	Title string `yaml:"title" json:"title"`
	// What callers call the room beside its title.
	Words []string `yaml:"words,omitempty" json:"words,omitempty"`
	// The building or site.
	Site string `yaml:"site,omitempty" json:"site,omitempty"`
	// The type of room, a word of your own for rooms that are fitted out alike:
	// small, boardroom. What closed calls of rooms of one type teach counts for all.
	Type string `yaml:"type,omitempty" json:"type,omitempty"`
	// Counts up with every change that is kept, from 1.
	Revision int `yaml:"revision,omitempty" json:"revision,omitempty"`
	// The day on which somebody last looked whether the sheet is true.
	Surveyed Day `yaml:"surveyed,omitempty" json:"surveyed,omitzero"`
	// Initials of who looked.
	By string `yaml:"by,omitempty" json:"by,omitempty"`
	// Fields whose lists here are whole, so that what is not listed is not
	// there: display, video, usb, network, audio, control, power, camera, meeting;
	// works where a log of all that is done to the room is kept here.
	Complete []string `yaml:"complete,omitempty" json:"complete,omitempty"`
	// Ways in which sources reach the room, if these are all: hdmi-cable,
	// usb-c-cable, adapter, dock, wireless.
	Leads []string `yaml:"leads,omitempty" json:"leads,omitempty"`
	// Folding wall: no-wall, closed, open.
	Divider string `yaml:"divider,omitempty" json:"divider,omitempty"`
	// Formats that must pass from each source to each display, as "2160p60" or
	// "1080p60 10 bit 4:4:4"; a display can have its own.
	Wanted []Format `yaml:"wanted,omitempty" json:"wanted,omitempty"`
	// Protected content that must play here: none, type0, type1.
	Protected string `yaml:"protected,omitempty" json:"protected,omitempty"`
	// Where people sit and what they look at.
	Viewing *Viewing `yaml:"viewing,omitempty" json:"viewing,omitempty"`
	// The places of the room.
	Places []Place `yaml:"places,omitempty" json:"places,omitempty"`
	// Minutes from one place to another, both ways.
	Walks []Walk `yaml:"walks,omitempty" json:"walks,omitempty"`
	// What stands there.
	Devices []Device `yaml:"devices,omitempty" json:"devices,omitempty"`
	// What joins the ports.
	Cables []Cable `yaml:"cables,omitempty" json:"cables,omitempty"`
	// What the panel's buttons route.
	Presets []Preset `yaml:"presets,omitempty" json:"presets,omitempty"`
	// The address plan.
	Network *Network `yaml:"network,omitempty" json:"network,omitempty"`
	// What was done to the room, and when.
	Works []Work `yaml:"works,omitempty" json:"works,omitempty"`
	// Answers to questions of the book that hold in this room for good, so that
	// nobody is asked: a plug without a lock, no pull-out cable.
	Known []KnownAnswer `yaml:"known,omitempty" json:"known,omitempty"`
	// What else somebody should know.
	Notes []string `yaml:"notes,omitempty" json:"notes,omitempty"`

	file string     // for findings
	node *yaml.Node // of the file, to find lines
	index
}

// Viewing is the farthest seat and what is read from it.
type Viewing struct {
	// From the farthest seat to the picture.
	Farthest *Metres `yaml:"farthest,omitempty" json:"farthest_m,omitempty"`
	// What is done with the picture: detail, reading, viewing.
	Task string `yaml:"task,omitempty" json:"task,omitempty"`
	// Height of the smallest letters on the picture, as "10 mm".
	Text *Metres `yaml:"text,omitempty" json:"text_m,omitempty"`
}

// Place is somewhere in the room where things stand.
type Place struct {
	// Short kebab-case name.
	ID string `yaml:"id" json:"id"`
	// As one says it: "the lectern".
	Title string `yaml:"title,omitempty" json:"title,omitempty"`
	// Which place of the book it is: desk, table, display, rack, ceiling, closet.
	Is string `yaml:"is,omitempty" json:"is,omitempty"`
	// Heat that is carried away there.
	Cooling *Watts `yaml:"cooling,omitempty" json:"cooling_w,omitempty"`
	// Air that goes through.
	Airflow *Airflow `yaml:"airflow,omitempty" json:"airflow_m3h,omitempty"`
	// Temperature of the air that goes in.
	Intake *Celsius `yaml:"intake,omitempty" json:"intake_c,omitempty"`
}

// Walk is how long it takes from one place to another.
type Walk struct {
	// A place.
	From string `yaml:"from" json:"from"`
	// Another place.
	To string `yaml:"to" json:"to"`
	// Minutes one way.
	Minutes float64 `yaml:"minutes" json:"minutes"`
}

// Device is one thing that stands in the room, or several alike.
type Device struct {
	// Short kebab-case name.
	ID string `yaml:"id" json:"id"`
	// As one says it to a caller: "the small box under the lectern".
	Title string `yaml:"title,omitempty" json:"title,omitempty"`
	// What it is: see DeviceKinds.
	Kind string `yaml:"kind" json:"kind"`
	// Where it stands: the id of a place.
	Place string `yaml:"place,omitempty" json:"place,omitempty"`
	// How many alike, driven by one port each way; 1 if left out.
	Copies int `yaml:"copies,omitempty" json:"copies,omitempty"`
	// Its sockets.
	Ports []Port `yaml:"ports,omitempty" json:"ports,omitempty"`
	// Which of its inputs reach which outputs, where not all reach all.
	Paths []Crossing `yaml:"paths,omitempty" json:"paths,omitempty"`
	// Protection version of all its picture ports that name none themselves:
	// 1.4, 2.2, 2.2 only, none, transparent.
	HDCP string `yaml:"hdcp,omitempty" json:"hdcp,omitempty"`
	// Receivers of protected content that it takes, of a source.
	Sinks int `yaml:"sinks,omitempty" json:"sinks,omitempty"`
	// Formats wanted on this display instead of the room's.
	Wanted []Format `yaml:"wanted,omitempty" json:"wanted,omitempty"`
	// Its USB hub: bus-powered or self-powered.
	Hub string `yaml:"hub,omitempty" json:"hub,omitempty"`
	// USB current that the hub's own supply gives in all.
	Supply *MilliAmps `yaml:"supply,omitempty" json:"supply_ma,omitempty"`
	// Network power that a switch gives in all.
	PoEBudget *Watts `yaml:"poe_budget,omitempty" json:"poe_budget_w,omitempty"`
	// How it is fed.
	Power *Power `yaml:"power,omitempty" json:"power,omitempty"`
	// Address with mask, "192.168.10.21/24"; "dhcp" where it is leased.
	Address string `yaml:"address,omitempty" json:"address,omitempty"`
	// Address of its gateway.
	Gateway string `yaml:"gateway,omitempty" json:"gateway,omitempty"`
	// VLAN of its port, 1 to 4094.
	VLAN int `yaml:"vlan,omitempty" json:"vlan,omitempty"`
	// How it is controlled, and by which device.
	Control *Control `yaml:"control,omitempty" json:"control,omitempty"`
	// What its lamps mean on this device.
	Lamps []Lamp `yaml:"lamps,omitempty" json:"lamps,omitempty"`
	// Diagonal of a display's picture, as "65 in".
	Diagonal *Metres `yaml:"diagonal,omitempty" json:"diagonal_m,omitempty"`
	// Shape of the picture: 16:9 where left out; 16:10, 21:9, 4:3.
	Aspect string `yaml:"aspect,omitempty" json:"aspect,omitempty"`
	// Delay that it puts on picture or sound.
	Delay *Millis `yaml:"delay,omitempty" json:"delay_ms,omitempty"`
	// Loudspeaker line of an amplifier, or how a loudspeaker hangs on one.
	Line *Line `yaml:"line,omitempty" json:"line,omitempty"`
	// What else somebody should know of it.
	Note string `yaml:"note,omitempty" json:"note,omitempty"`
}

// Port is a socket of a device.
type Port struct {
	// Short kebab-case name, unique on the device.
	ID string `yaml:"id" json:"id"`
	// As it is marked: "input 2".
	Title string `yaml:"title,omitempty" json:"title,omitempty"`
	// What goes through: video, usb, network, audio, speaker, control, power.
	Carries string `yaml:"carries" json:"carries"`
	// Which way it goes: in, out, both. Of USB, out is the side of the devices.
	Way string `yaml:"way,omitempty" json:"way,omitempty"`
	// Limits. Of video as the link sum takes them: "HDMI 2.0", "HBR2 x2", "340
	// MHz, up to 2160p30", "FRL 4x10". Of USB: 2.0, 3.x, c-1.5a, c-3a, charging.
	Class string `yaml:"class,omitempty" json:"class,omitempty"`
	// Protection version: 1.4, 2.2, 2.2 only, none, transparent.
	HDCP string `yaml:"hdcp,omitempty" json:"hdcp,omitempty"`
	// EDID that a source reads there: a file beside the sheet, or the dump itself.
	EDID string `yaml:"edid,omitempty" json:"edid,omitempty"`
	// Current that it gives.
	Gives *MilliAmps `yaml:"gives,omitempty" json:"gives_ma,omitempty"`
	// Most current that it takes.
	Wants *MilliAmps `yaml:"wants,omitempty" json:"wants_ma,omitempty"`
	// Class of network power that it gives (of a switch), 1 to 8.
	PoE int `yaml:"poe,omitempty" json:"poe,omitempty"`
	// Nominal sound level.
	Level *Level `yaml:"level,omitempty" json:"level_dbu,omitempty"`
	// Voltage of a low-voltage supply.
	Volts *Volts `yaml:"volts,omitempty" json:"volts_v,omitempty"`
	// Least voltage that a fed device works with.
	Least *Volts `yaml:"least,omitempty" json:"least_v,omitempty"`
	// Booked USB traffic: "camera 1080p30 yuy2", "audio 2.304 Mbit/s".
	Streams []Stream `yaml:"streams,omitempty" json:"streams,omitempty"`

	edid *edid.Display
}

// Crossing says which outputs an input reaches.
type Crossing struct {
	// A port of the device.
	From string `yaml:"from" json:"from"`
	// Ports of the device.
	To []string `yaml:"to" json:"to"`
}

// Power is how a device is fed.
type Power struct {
	// mains, poe, adapter, usb, passive-poe.
	From string `yaml:"from,omitempty" json:"from,omitempty"`
	// What it draws at most, which ends as heat.
	Draws *Watts `yaml:"draws,omitempty" json:"draws_w,omitempty"`
	// Class of network power that it asks for, 1 to 8.
	Class int `yaml:"class,omitempty" json:"class,omitempty"`
}

// Control is how a device is driven.
type Control struct {
	// serial, network, infrared, cec, contact.
	By string `yaml:"by,omitempty" json:"by,omitempty"`
	// The device that drives it.
	From string `yaml:"from,omitempty" json:"from,omitempty"`
	// Rate of a serial line.
	Baud int `yaml:"baud,omitempty" json:"baud,omitempty"`
}

// Lamp is what a lamp of this device means.
type Lamp struct {
	// Which lamp: "power", "input 2"; empty where there is one.
	Name string `yaml:"name,omitempty" json:"name,omitempty"`
	// Its colour; "off" where it is dark.
	Colour string `yaml:"colour" json:"colour"`
	// off, steady, slow-blink, fast-blink.
	Rhythm string `yaml:"rhythm,omitempty" json:"rhythm,omitempty"`
	// What that means.
	Means string `yaml:"means" json:"means"`
	// Causes of the book that it speaks for.
	Causes []string `yaml:"causes,omitempty" json:"causes,omitempty"`
}

// Line is a loudspeaker line, or the tap of a loudspeaker on one.
type Line struct {
	// 100 V or 70.7 V; left out for low impedance.
	Volts *Volts `yaml:"volts,omitempty" json:"volts_v,omitempty"`
	// Power of the amplifier, or of the tap.
	Watts *Watts `yaml:"watts,omitempty" json:"watts,omitempty"`
	// Impedance of the loudspeaker, or the least that the amplifier drives.
	Ohms *Ohms `yaml:"ohms,omitempty" json:"ohms,omitempty"`
}

// Cable joins two ports.
type Cable struct {
	// Short kebab-case name.
	ID string `yaml:"id" json:"id"`
	// As one says it: "the grey lead on the table".
	Title string `yaml:"title,omitempty" json:"title,omitempty"`
	// The end towards the source, the host or the supply: device/port.
	From string `yaml:"from" json:"from"`
	// The other end: device/port.
	To string `yaml:"to" json:"to"`
	// Of video: "Premium High Speed", "HBR2 x4", "cat 6a", "fibre"; of USB: low,
	// high, 5g, 10g, 40g.
	Class string `yaml:"class,omitempty" json:"class,omitempty"`
	// Its length.
	Length *Metres `yaml:"length,omitempty" json:"length_m,omitempty"`
	// Active or optical.
	Active bool `yaml:"active,omitempty" json:"active,omitempty"`
	// Port into which the end marked for the display is plugged.
	DisplayEnd string `yaml:"display_end,omitempty" json:"display_end,omitempty"`
	// Couplers and wall plates in it.
	Couplers int `yaml:"couplers,omitempty" json:"couplers,omitempty"`
	// Its wires, "24 AWG" or "1.5 mm2".
	Gauge string `yaml:"gauge,omitempty" json:"gauge,omitempty"`
	// True for a passive USB extension.
	Extension bool `yaml:"extension,omitempty" json:"extension,omitempty"`
	// True where its certification label was checked.
	Certified bool `yaml:"certified,omitempty" json:"certified,omitempty"`
}

// Preset is a button that sets routes.
type Preset struct {
	// As the button says: "Laptop on both".
	Title string `yaml:"title" json:"title"`
	// Source devices with the displays that they go to.
	Routes []Crossing `yaml:"routes,omitempty" json:"routes,omitempty"`
}

// Network is the address plan of the room.
type Network struct {
	// The room's network, "192.168.10.0/24".
	Subnet string `yaml:"subnet,omitempty" json:"subnet,omitempty"`
	// Its gateway.
	Gateway string `yaml:"gateway,omitempty" json:"gateway,omitempty"`
	// Addresses that are leased, "192.168.10.100-192.168.10.199".
	Pool string `yaml:"pool,omitempty" json:"pool,omitempty"`
}

// KnownAnswer is a question of the book with its answer in this room.
type KnownAnswer struct {
	// Id of the question: plug-lock.
	Question string `yaml:"question" json:"question"`
	// One of its answers: no-lock.
	Value string `yaml:"value" json:"value"`
	// Why that is so.
	Note string `yaml:"note,omitempty" json:"note,omitempty"`
}

// Work is something that was done to the room.
type Work struct {
	// The day.
	Day Day `yaml:"day" json:"day"`
	// cleaning, moved, power-cut, update, new-device, repair, building, survey.
	Kind string `yaml:"kind" json:"kind"`
	// What was done.
	Text string `yaml:"text,omitempty" json:"text,omitempty"`
	// Devices that it touched.
	Devices []string `yaml:"devices,omitempty" json:"devices,omitempty"`
}

// DeviceKinds are the kinds of devices.
func DeviceKinds() []string {
	return []string{"laptop", "computer", "player", "wireless-receiver", "camera", "microphone", "radio-microphone", "display", "projector",
		"video-wall", "led-wall", "recorder", "codec", "switcher", "splitter", "scaler", "extender", "dock", "adapter", "wall-plate",
		"hub", "usb-switch", "usb-extender", "touch-screen", "keyboard", "network-switch", "access-point", "panel", "controller",
		"processor", "amplifier", "loudspeaker", "supply", "strip", "ups", "sequencer", "booking-panel", "sensor", "remote", "other"}
}

// Fields are those that a sheet can call complete.
func Fields() []string {
	return []string{"display", "video", "usb", "network", "audio", "control", "power", "camera", "meeting", "works"}
}
