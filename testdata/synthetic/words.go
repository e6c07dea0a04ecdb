package synthetic

// What notes are made of; the first of each list are used most.
var (
	sites = []string{"north", "south", "east", "west", "tower", "annex", "harbour", "hill", "garden", "mill"}

	situations = []string{
		"and the meeting starts in five minutes", "it was fine yesterday", "please hurry", "we already turned it off and on",
		"nobody touched anything", "since this morning", "after the cleaning last night", "in the middle of a call",
		"only with the new laptop", "the guests are waiting", "it happens every second week", "since the table was moved",
		"the last group left it like that", "after the power cut", "with every laptop we have", "but the other room is all right",
		"when the lid is closed", "as soon as somebody shares", "it comes and goes", "for two days now",
	}

	patterns = []string{
		"Found the DEVICE with SEEN, DONE it, all well at TIME.",
		"Caller DONE the DEVICE at the table, SEEN went away.",
		"Measured FIGURE at PORT of the DEVICE, asset ASSET.",
		"Visit needed: DEVICE ASSET shows SEEN, took a spare DEVICE along.",
		"DEVICE at ADDRESS did not answer, DONE, then it did.",
		"COLOUR lamp on PORT, after the DEVICE was DONE it turned COLOUR.",
		"Same as last time in this room, the DEVICE had SEEN again.",
		"Told the host to leave the DEVICE on and to use PORT until the visit.",
		"The lead between DEVICE and PORT was loose, FIGURE after it was seated.",
		"Room sheet says FIGURE at PORT, found FIGURE, sheet corrected.",
		"Somebody had DONE the DEVICE behind the rack, put back as it was.",
		"Checked PORT with a tester, FIGURE, that is within what the DEVICE allows.",
		"Swapped DEVICE ASSET against ASSET, SEEN did not come back by TIME.",
		"The caller could not see the DEVICE, the facilities desk DONE it at TIME.",
		"Firmware of the DEVICE was two steps behind, DONE over night.",
		"Please order: one DEVICE, two leads for PORT, labels.",
	}

	devices = []string{
		"display", "dock", "camera", "switcher", "table panel", "microphone", "speaker", "extender", "receiver", "transmitter",
		"amplifier", "control processor", "touch panel", "hub", "projector", "adapter", "network switch", "power strip",
		"wireless presenter", "mixer", "antenna", "lectern", "confidence monitor", "equaliser", "ceiling microphone", "scaler",
		"matrix", "decoder", "injector", "sequencer", "relay", "occupancy sensor", "loop driver", "headset", "keypad", "codec",
	}

	ports = []string{
		"input 1", "input 2", "the front socket", "output A", "the floor box", "USB port 3", "the wall plate", "port 12",
		"the rear input", "output B", "the link port", "the cable cubby", "port 24", "the return channel", "bay 7", "the patch panel",
		"the lectern socket", "slot 4", "the service port", "the ceiling box",
	}

	deeds = []string{
		"restarted", "reseated", "replaced", "reset", "unplugged", "updated", "tightened", "relabelled", "swapped", "cleaned",
		"reconnected", "reconfigured", "unmuted", "repaired", "paired", "recalibrated", "rebooted", "disabled", "enabled", "bypassed",
	}

	sights = []string{
		"no signal", "a black picture", "sparkles", "flicker", "a hum", "an echo", "no light", "a loose plug", "a frozen picture",
		"crackling", "the wrong resolution", "a blinking lamp", "dropouts", "a bent pin", "a late picture", "a pink tint",
		"a dead port", "an old address", "a worn lead", "a tripped fuse", "interference", "a stuck key", "dust on the lens",
	}

	figures = []string{
		"%d mA", "%d dB", "%d V", "%d W", "%d m", "%d Mbit/s", "%d ms", "%d Hz", "%d %%", "%d ohm", "%d lux", "%d frames a second",
	}

	colours = []string{"red", "green", "amber", "white", "blue", "no"}
)
