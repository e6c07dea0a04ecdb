package sums

import (
	"testing"

	"faultbook/diagnose/measure"
)

// Source: check values sections 4 and 5 (read and computed as named there).
func TestUSBAndNetworkSums(t *testing.T) {
	check(t, []expect{
		{"U-006: two cameras on a bus-powered hub", "usb-power", v("hub", "bus-powered", "device", "500mA", "device", "500mA"), measure.Fail, "total_current", 1000, 1, "usb-current-enough=no usb-current-sum=over-hub"},
		{"500 of 500", "usb-power", v("device", "0.5A"), measure.Pass, "", 0, 0, "usb-current-enough=yes"},
		{"501 of 500", "usb-power", v("device", "501mA"), measure.Fail, "", 0, 0, "usb-current-enough=no usb-current-sum=over-port"},
		{"self-powered without a figure", "usb-power", v("hub", "self-powered", "device", "500mA"), measure.Unknown, "", 0, 0, "usb-current-enough="},
		{"self-powered, 2 A", "usb-power", v("hub", "self-powered", "supply", "2A", "device", "500mA", "device", "500mA"), measure.Pass, "", 0, 0, "usb-current-enough=yes"},
		{"1080p30 YUY2 on 2.0", "usb-bandwidth", v("stream", "camera=1080p30 YUY2"), measure.Fail, "total_rate", 995.328, 3, "usb-bandwidth-enough=no usb-bandwidth-sum=over"},
		{"1080p30 YUY2 on 5G", "usb-bandwidth", v("path", "5g", "stream", "camera=1080p30 YUY2"), measure.Pass, "", 0, 0, "usb-bandwidth-enough=yes"},
		{"U-030", "usb-bandwidth", v("stream", "196.608 Mbit/s", "stream", "196.608 Mbit/s"), measure.Fail, "booked_share", 96, 3, "usb-bandwidth-enough=no"},
		{"U-035", "usb-bandwidth", v("stream", "mic=2x48kHz 24bit"), measure.Pass, "total_rate", 2.304, 3, ""},
		{"U-021", "usb-tiers", v("hub", "a=self-powered", "hub", "b=self-powered", "hub", "c=self-powered", "hub", "d=self-powered", "hub", "e=self-powered"), measure.Pass, "tiers", 7, 0, "usb-tiers-ok=yes"},
		{"U-008", "usb-tiers", v("hub", "a=bus-powered", "hub", "b=bus-powered"), measure.Fail, "", 0, 0, "usb-tiers-ok=no"},
		{"U-025", "usb-tiers", v("speed", "5g", "cable", "3m"), measure.Tight, "", 0, 0, "usb-tiers-ok=yes"},
		{"U-026", "usb-tiers", v("extension", "yes"), measure.Fail, "", 0, 0, "usb-tiers-ok=no"},
		{"PoE enough", "poe", v("budget", "45.4W", "device", "class 4", "device", "12.95W"), measure.Pass, "needed_at_supply", 45.4, 3, "poe-budget-enough=yes"},
		{"PoE short by 0.1 W", "poe", v("budget", "45.3W", "device", "class 4", "device", "12.95W"), measure.Fail, "", 0, 0, "poe-budget-enough=no"},
		{"PoE port class", "poe", v("budget", "500W", "port-class", "4", "device", "class 5"), measure.Fail, "", 0, 0, "poe-budget-enough=no"},
		{"PoE 12.96 W is class 4", "poe", v("device", "12.96W"), measure.Unknown, "needed_at_supply", 30, 3, "poe-budget-enough="},
		{"same subnet", "subnet", v("host", "192.168.10.37/26", "other", "192.168.10.62/26"), measure.Pass, "addresses", 64, 0, "same-subnet=yes hosts-reach=yes address-self-assigned=no"},
		{"other subnet", "subnet", v("host", "192.168.10.37/26", "other", "192.168.10.65/26"), measure.Fail, "", 0, 0, "same-subnet=no hosts-reach=no"},
		{"by routers", "subnet", v("host", "192.168.10.37/26", "gateway", "192.168.10.1", "other", "192.168.10.70/26", "other-gateway", "192.168.10.65"), measure.Unknown, "", 0, 0, "same-subnet=no hosts-reach="},
		{"gateway outside", "subnet", v("host", "192.168.10.37/26", "gateway", "192.168.10.65"), measure.Unknown, "", 0, 0, "gateway-check=wrong mask-check="},
		{"masks differ", "subnet", v("host", "192.168.10.37/24", "other", "192.168.10.70/26"), measure.Fail, "", 0, 0, "mask-check=wrong gateway-check="},
		{"N-030", "subnet", v("host", "169.254.9.9/16"), measure.Unknown, "", 0, 0, "address-self-assigned=yes"},
		{"N-028", "subnet", v("host", "10.20.30.40/31"), measure.Unknown, "usable_addresses", 2, 0, ""},
		{"N-017", "throughput", v("link", "100Mbit/s", "size", "1GB"), measure.Unknown, "transfer_time", 85, 0, ""},
		{"in time", "throughput", v("link", "100Mbit/s", "size", "1GB", "within", "85 s"), measure.Pass, "payload_rate_bytes", 11.77, 2, "transfer-in-time=yes"},
		{"too late", "throughput", v("link", "100Mbit/s", "size", "1GB", "within", "84.9 s"), measure.Fail, "frames_64_bytes", 148809, 0, "transfer-in-time=no"},
		{"N-014", "throughput", v("link", "1Gbit/s", "vlan", "yes"), measure.Unknown, "payload_share", 93.90, 2, ""},
		{"N-036", "igmp", v("died-after", "4min 20s"), measure.Fail, "member_age", 260, 3, "igmp-age-matches=yes"},
		{"dies at once", "igmp", v("died-after", "30 s"), measure.Pass, "", 0, 0, "igmp-age-matches=no"},
		{"N-037", "multicast", v("group", "224.1.1.1", "group", "239.129.1.1"), measure.Fail, "", 0, 0, "multicast-collides=yes"},
		{"the same group twice is one", "multicast", v("group", "239.1.1.1", "group", "239.1.1.1"), measure.Pass, "", 0, 0, "multicast-collides=no"},
	})
}

// Source: check value C-016, computed: a return typed as two letters is sent as
// two letters.
func TestReturnTypedAsText(t *testing.T) {
	r := run(t, "parity", v("text", `\r`))
	if q, _ := r.Output("sent_hex"); q.Text != "5C 72" {
		t.Errorf("got %q", q.Text)
	}
}

// Source: check values sections 6 to 9 (computed; limits as named there).
func TestSoundAndPowerSums(t *testing.T) {
	check(t, []expect{
		{"A-003", "audio-level", v("level", "+4 dBu"), measure.Unknown, "level_v", 1.2277, 4, ""},
		{"A-005", "audio-level", v("level", "+4 dBu", "into", "-10 dBV"), measure.Unknown, "gain_needed", -11.78, 2, ""},
		{"A-007", "audio-level", v("level", "-50 dBu", "into", "+4 dBu"), measure.Unknown, "gain_needed", 54, 3, ""},
		{"A-008", "audio-level", v("level", "-20 dBFS"), measure.Unknown, "level_dbu", 4, 3, ""},
		{"A-008 EBU", "audio-level", v("level", "-18 dBFS", "full-scale", "18 dBu"), measure.Unknown, "level_dbu", 0, 3, ""},
		{"at clipping", "audio-level", v("level", "+20 dBu", "clip", "+20 dBu"), measure.Pass, "headroom", 0, 3, "level-clips=no"},
		{"above clipping", "audio-level", v("level", "+20.1 dBu", "clip", "+20 dBu"), measure.Fail, "", 0, 0, "level-clips=yes"},
		{"A-009", "audio-mix", v("level", "0 dB", "level", "0 dB", "kind", "same"), measure.Pass, "sum", 6.02, 2, "signals-cancel=no"},
		{"A-010", "audio-mix", v("level", "0 dB", "level", "0 dB"), measure.Pass, "passive_sum_loss", -6.02, 2, ""},
		{"A-013", "audio-mix", v("level", "0 dB", "level", "0 dB", "kind", "opposite"), measure.Fail, "", 0, 0, "signals-cancel=yes"},
		{"A-018", "audio-distance", v("distance", "10m"), measure.Unknown, "delay", 29.1, 1, ""},
		{"A-019", "audio-distance", v("distance", "2m"), measure.Unknown, "level_change", -6.02, 2, ""},
		{"A-024 at the limit", "lip-sync", v("picture", "45ms"), measure.Pass, "offset", 45, 3, "lip-sync-ok=yes lip-sync-early=sound"},
		{"A-024 above", "lip-sync", v("picture", "45.1ms"), measure.Tight, "", 0, 0, "lip-sync-ok=yes"},
		{"A-025 above", "lip-sync", v("picture", "60ms", "picture", "40ms"), measure.Fail, "delay_to_set_on_sound", 100, 3, "lip-sync-ok=no"},
		{"A-025 late", "lip-sync", v("sound", "186ms"), measure.Fail, "offset", -186, 3, "lip-sync-ok=no lip-sync-early=picture"},
		{"A-033, A-035", "speaker-line", v("amplifier", "120W", "speaker", "6W x 16"), measure.Pass, "loading", 80, 3, "speaker-line-ok=yes"},
		{"A-035 above", "speaker-line", v("amplifier", "119W", "speaker", "6W x 16"), measure.Tight, "load", 104.2, 1, "speaker-line-ok=yes"},
		{"overload", "speaker-line", v("amplifier", "95W", "speaker", "6W x 16"), measure.Fail, "", 0, 0, "speaker-line-ok=no"},
		{"measured as calculated", "speaker-line", v("amplifier", "120W", "speaker", "6W x 16", "measured", "125 ohm"), measure.Pass, "measured_difference", 20, 3, "line-impedance=as-calculated"},
		{"measured too low", "speaker-line", v("amplifier", "120W", "speaker", "6W x 16", "measured", "83 ohm"), measure.Fail, "", 0, 0, "line-impedance=differs speaker-line-ok=yes"},
		{"A-034", "speaker-line", v("line", "70.7V", "marked", "100V", "speaker", "6W"), measure.Unknown, "taps", 3, 2, ""},
		{"A-036 100 V", "speaker-line", v("amplifier", "200W", "speaker", "100W", "length", "100m", "wire", "1.5mm2"), measure.Pass, "line_loss", 0.23, 2, ""},
		{"A-036 8 ohm", "speaker-line", v("impedance", "8 ohm", "length", "100m", "wire", "1.5mm2"), measure.Tight, "line_loss", 2.49, 2, ""},
		{"C-009", "serial", v("baud", "9600", "characters", "20"), measure.Unknown, "message_time", 20.833, 3, ""},
		{"C-011", "serial", v("baud", "9600", "other-baud", "19200"), measure.Fail, "difference", 100, 3, "serial-rate-ok=no"},
		{"C-012", "serial", v("baud", "9600", "other-baud", "10032"), measure.Tight, "tolerance", 4.61, 2, "serial-rate-ok=yes"},
		{"C-003", "serial", v("baud", "9600", "length", "60m"), measure.Fail, "longest_by_load", 44.8, 1, "serial-length-ok=no"},
		{"C-005", "serial", v("baud", "115200", "length", "10m"), measure.Tight, "", 0, 0, "serial-length-ok=yes"},
		{"rate fails, length well", "serial", v("baud", "9600", "other-baud", "4800", "length", "10m"), measure.Fail, "", 0, 0, "serial-rate-ok=no serial-length-ok=yes"},
		{"C-014", "parity", v("text", "ACPWR?1", "sent", "7E1"), measure.Fail, "characters_read", 7, 0, "serial-settings-agree=no"},
		{"settings agree", "parity", v("hex", "50 57 0D"), measure.Pass, "", 0, 0, "serial-settings-agree=yes"},
		{"W-007", "voltage-drop", v("supply", "12V", "current", "3A", "length", "15m", "wire", "0.75mm2"), measure.Fail, "lost", 2.34, 3, "voltage-drop-ok=no"},
		{"W-009 is 9.975 %", "voltage-drop", v("supply", "12V", "current", "3A", "length", "15m", "wire", "1.5mm2"), measure.Tight, "left", 10.803, 3, "voltage-drop-ok=yes"},
		{"U-019", "voltage-drop", v("supply", "5V", "current", "500mA", "length", "5m", "wire", "28AWG", "least", "4.40V"), measure.Fail, "left", 3.94, 2, "voltage-drop-ok=no load-voltage=low"},
		{"at the limit", "voltage-drop", v("supply", "10V", "current", "1A", "length", "10m", "wire", "0.75mm2", "least", "9.48V"), measure.Pass, "lost", 0.52, 6, "voltage-drop-ok=yes"},
		{"just above", "voltage-drop", v("supply", "10V", "current", "1A", "length", "10m", "wire", "0.75mm2", "least", "9.481V"), measure.Fail, "", 0, 0, "voltage-drop-ok=no"},
		{"W-002", "voltage-drop", v("supply", "12V", "current", "1A", "length", "1m", "wire", "24AWG", "temperature", "50 °C"), measure.Pass, "temperature_factor", 1.118, 3, ""},
		{"W-014", "heat", v("load", "500W", "air", "149.3m3/h"), measure.Pass, "air_needed", 149, 0, "rack-air-ok=yes"},
		{"air short", "heat", v("load", "500W", "air", "149m3/h"), measure.Fail, "", 0, 0, "rack-air-ok=no"},
		{"W-013", "heat", v("load", "3517W", "cooling", "12000 BTU/h"), measure.Fail, "heat_btu", 12000.5, 0, "room-cooling-ok=no"},
		{"W-018", "heat", v("load", "100W", "power-factor", "0.6"), measure.Unknown, "apparent_power", 167, 0, ""},
		{"W-015", "rack", v("size", "42U", "device", "42U"), measure.Pass, "size_mm", 1866.9, 3, "rack-fits=yes"},
		{"rack full", "rack", v("size", "12U", "device", "10U", "device", "gap=2.5U"), measure.Fail, "free", -0.5, 3, "rack-fits=no"},
		{"O-001", "picture", v("diagonal", "65in"), measure.Unknown, "width", 1439, 0, ""},
		{"O-007", "picture", v("width", "2m", "viewer", "6.75m"), measure.Pass, "farthest_reading", 6.75, 6, "picture-large-enough=yes"},
		{"O-007 beyond", "picture", v("width", "2m", "viewer", "6.76m"), measure.Fail, "", 0, 0, "picture-large-enough=no"},
		{"O-008", "picture", v("width", "2m", "element", "3 %", "viewer", "6 m"), measure.Pass, "farthest_by_element", 6.75, 6, ""},
		{"O-003", "picture", v("width", "2m", "throw-ratio", "1.5"), measure.Unknown, "throw_distance", 3, 6, ""},
		{"O-004", "luminance", v("lumens", "5000lm", "width", "2m"), measure.Unknown, "white", 707, 0, ""},
		{"O-006 dark enough", "luminance", v("lumens", "5000lm", "width", "2m", "room", "20 nit"), measure.Pass, "", 0, 0, "contrast-enough=yes"},
		{"O-006 too bright", "luminance", v("lumens", "2000lm", "width", "3m", "room", "50 nit"), measure.Fail, "", 0, 0, "contrast-enough=no"},
		{"O-009", "legibility", v("letter", "10mm", "distance", "3m"), measure.Tight, "angle", 11.5, 1, "text-legible=yes"},
		{"O-009 at the limit", "legibility", v("letter", "10mm", "distance", "3.438m"), measure.Tight, "angle", 10, 6, "text-legible=yes"},
		{"O-009 too small", "legibility", v("letter", "10mm", "distance", "3.44m"), measure.Fail, "", 0, 0, "text-legible=no"},
	})
}
