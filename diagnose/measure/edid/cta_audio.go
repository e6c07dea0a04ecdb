package edid

import "fmt"

// The audio format codes of CTA-861. Codes 8 and 14 stand for formats that
// belong to one maker and are named by their number.
var audioFormats = [...]string{
	1: "LPCM", 2: "AC-3", 3: "MPEG-1", 4: "MP3", 5: "MPEG-2", 6: "AAC LC", 7: "DTS",
	8: "CTA format 8", 9: "One Bit Audio", 10: "E-AC-3", 11: "DTS-HD", 12: "MAT", 13: "DST",
	14: "CTA format 14",
}

// The extended audio format codes (from memory, CTA-861-H Table 40, and read in
// the reference tool).
var audioExtended = map[int]string{
	1: "HE AAC", 2: "HE AAC v2", 3: "MPEG Surround",
	4: "MPEG-4 HE AAC", 5: "MPEG-4 HE AAC v2", 6: "MPEG-4 AAC LC", 7: "DRA",
	8: "MPEG-4 HE AAC + MPEG Surround", 10: "MPEG-4 AAC LC + MPEG Surround",
	11: "MPEG-H 3D Audio", 12: "AC-4", 13: "LPCM 3D Audio", 14: "CTA extended format 14", 15: "MPEG-D USAC",
}

const (
	audioLPCM     = 1
	audioExtends  = 15
	extendedMPEGH = 11
	extendedAC4   = 12
	extended3D    = 13
)

var audioRates = [7]float64{32, 44.1, 48, 88.2, 96, 176.4, 192}

// audio reads a list of audio descriptors of three bytes (check values E-057 to
// E-061).
func (d *decoder) audio(p []byte) {
	if len(p)%3 != 0 {
		d.problem("block %d: an audio block of %d bytes is not a whole number of descriptors", d.block, len(p))
	}
	for ; len(p) >= 3; p = p[3:] {
		a, ok := audioDescriptor(p)
		if !ok {
			d.problem("block %d: the audio format code 0 is reserved", d.block)
			continue
		}
		d.out.Audio = append(d.out.Audio, a)
	}
}

func audioDescriptor(p []byte) (Audio, bool) {
	a := Audio{Code: int(p[0] >> 3 & 0x0F), Channels: int(p[0]&7) + 1, Bits: []int{}, Detail: int(p[2])}
	switch {
	case a.Code == 0:
		return a, false
	case a.Code < len(audioFormats):
		a.Format = audioFormats[a.Code]
	default:
		a.Extended = int(p[2] >> 3)
		a.Format = audioExtended[a.Extended]
		if a.Format == "" {
			a.Format = fmt.Sprintf("CTA extended format %d", a.Extended)
		}
	}
	switch a.Extended {
	case extendedMPEGH:
		a.Channels = 0 // the three bits are a level
	case extended3D:
		a.Channels = (int(p[1]&0x80)>>3 | int(p[0]&0x80)>>4 | int(p[0]&7)) + 1
	}
	a.RatesKHz = rates(p[1])
	switch {
	case a.Code == audioLPCM || a.Extended == extended3D:
		a.Bits = sampleBits(p[2])
	case a.Code <= 8:
		a.MaxKbps = int(p[2]) * 8
	}
	return a, true
}

// rates lists the sample rates of a bit mask (E-058).
func rates(mask byte) []float64 {
	out := []float64{}
	for i, rate := range audioRates {
		if mask>>i&1 != 0 {
			out = append(out, rate)
		}
	}
	return out
}

// sampleBits lists the sample sizes of a bit mask (E-059).
func sampleBits(mask byte) []int {
	out := []int{}
	for i, bits := range [...]int{16, 20, 24} {
		if mask>>i&1 != 0 {
			out = append(out, bits)
		}
	}
	return out
}

// hdmiAudio reads the HDMI audio block: descriptors of four bytes, the last of
// which is a speaker allocation. They are listed with the others.
func (d *decoder) hdmiAudio(p []byte) {
	if len(p) < 2 || p[1]&7 == 0 {
		return
	}
	for p = p[2:]; len(p) > 4; p = p[4:] {
		a := Audio{Code: int(p[0] & 0x0F), Channels: int(p[1]&0x1F) + 1, RatesKHz: rates(p[2]), Bits: []int{},
			Detail: int(p[3])}
		if a.Code == 0 || a.Code >= len(audioFormats) {
			continue
		}
		a.Format = audioFormats[a.Code] + " (HDMI audio block)"
		if a.Code == audioLPCM {
			a.Bits = sampleBits(p[3])
		}
		d.out.Audio = append(d.out.Audio, a)
	}
}

// speakerNames are the bits of a speaker allocation, from bit 0 of its first
// byte (check value E-062; the upper two bytes from memory, CTA-861-H).
var speakerNames = []string{
	"FL/FR", "LFE1", "FC", "BL/BR", "BC", "FLc/FRc", "RLC/RRC", "FLw/FRw",
	"TpFL/TpFR", "TpC", "TpFC", "LS/RS", "LFE2", "TpBC", "SiL/SiR", "TpSiL/TpSiR",
	"TpBL/TpBR", "BtFC", "BtFL/BtFR", "TpLS/TpRS", "LSd/RSd",
}

func speakers(p []byte) []string {
	if len(p) < 3 {
		return []string{}
	}
	return bitNames(le24(p), speakerNames)
}

// room reads the room configuration block.
func (d *decoder) room(p []byte) {
	if len(p) < 4 {
		return
	}
	r := &Room{HasLocations: p[0]&0x20 != 0, Speakers: speakers(p[1:]), MaxDecimetres: []int{}, DisplayPlace: []float64{}}
	if p[0]&0x40 != 0 {
		r.SpeakerCount = int(p[0]&0x1F) + 1
	}
	if len(p) >= 7 {
		r.MaxDecimetres = []int{int(p[4]), int(p[5]), int(p[6])}
	}
	if len(p) >= 10 && p[0]&0x80 != 0 {
		r.DisplayPlace = place(p[7:])
	}
	d.out.Room = r
}

// place reads three signed coordinates in 1/64 of the maximum.
func place(p []byte) []float64 {
	return []float64{float64(int8(p[0])) / 64, float64(int8(p[1])) / 64, float64(int8(p[2])) / 64}
}

// speakerPositions names the places of a speaker location block.
var speakerPositions = [...]string{
	"FL", "FR", "FC", "LFE1", "BL", "BR", "FLC", "FRC", "BC", "LFE2", "SiL", "SiR", "TpFL", "TpFR",
	"TpFC", "TpC", "TpBL", "TpBR", "TpSiL", "TpSiR", "TpBC", "BtFC", "BtFL", "BtFR", "FLW", "FRW", "LS", "RS",
}

// speakerPlaces reads the speaker location block: two bytes a speaker, five
// with coordinates.
func (d *decoder) speakerPlaces(p []byte) {
	for len(p) >= 2 {
		s := SpeakerPlace{Channel: int(p[0] & 0x1F), Active: p[0]&0x20 != 0, Position: []float64{}}
		if i := int(p[1] & 0x1F); i < len(speakerPositions) {
			s.Speaker = speakerPositions[i]
		}
		n := 2
		if p[0]&0x40 != 0 && len(p) >= 5 {
			s.Position, n = place(p[2:]), 5
		}
		d.out.SpeakerPositions = append(d.out.SpeakerPositions, s)
		p = p[n:]
	}
}
