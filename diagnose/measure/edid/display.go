package edid

// Display is what an EDID says about a display. Lists are never nil; a pointer
// is nil where the EDID is silent.
type Display struct {
	Version       string   `json:"version"`       // "1.4"
	Maker         string   `json:"maker"`         // three letters, "ZZQ"
	Product       int      `json:"product"`       // 0 to 65535
	SerialNumber  *uint32  `json:"serial_number"` // nil if the field is 0
	MadeWeek      int      `json:"made_week"`     // 0 if not stated
	MadeYear      int      `json:"made_year"`     // 1990 to 2245
	YearIsModel   bool     `json:"year_is_model"` // the year is a model year
	Name          string   `json:"name"`          // "" if there is none
	SerialText    string   `json:"serial_text"`
	Texts         []string `json:"texts"` // free text descriptors
	Input         Input    `json:"input"`
	Features      Features `json:"features"`
	ImageWidthCM  int      `json:"image_width_cm"` // 0 and 0: not stated, as a projector does
	ImageHeightCM int      `json:"image_height_cm"`
	// LandscapeAspect is width by height where only that is stated (1.4).
	LandscapeAspect *float64      `json:"landscape_aspect"`
	Gamma           *float64      `json:"gamma"`
	Chromaticity    Chromaticity  `json:"chromaticity"`
	WhitePoints     []WhitePoint  `json:"white_points"`
	ColorManagement *ColorManaged `json:"color_management"`
	Range           *Range        `json:"range"`

	Blocks              []Block `json:"blocks"`
	AnnouncedExtensions int     `json:"announced_extensions"` // byte 0x7E
	// ExtensionOverride is the true number of extensions where the HDMI Forum
	// override block (0x78) states one.
	ExtensionOverride *int `json:"extension_override"`
	// MissingExtensions counts announced blocks that were not read.
	MissingExtensions int `json:"missing_extensions"`
	// SurplusExtensions counts blocks that were read but never announced: a
	// source does not see them.
	SurplusExtensions int           `json:"surplus_extensions"`
	BlockMap          []BlockMapRow `json:"block_map"`

	FirstTiming *Timing  `json:"first_timing"`
	Preferred   *Timing  `json:"preferred"`
	Timings     []Timing `json:"timings"`

	VICs        []int `json:"vics"`
	VICsNative  []int `json:"vics_native"`
	VICs420Only []int `json:"vics_420_only"`
	VICs420Also []int `json:"vics_420_also"`
	HDMIVICs    []int `json:"hdmi_vics"`

	CTA        []CTAHeader `json:"cta"`
	DataBlocks []DataBlock `json:"data_blocks"`

	HDMI            bool    `json:"hdmi"`
	MaxTMDSMHz      *int    `json:"max_tmds_mhz"`       // as stated; 0 is stated as "no figure"
	MaxTMDSForumMHz *int    `json:"max_tmds_forum_mhz"` // nil if not above 340
	FRL             *int    `json:"frl"`                // 0 none to 6; nil without an HDMI Forum block
	PhysicalAddress *string `json:"physical_address"`
	HDMIBlock       *HDMI   `json:"hdmi_block"`
	ForumBlock      *Forum  `json:"hdmi_forum_block"`

	BasicAudio       bool           `json:"basic_audio"`
	Audio            []Audio        `json:"audio"`
	Speakers         []string       `json:"speakers"`
	Room             *Room          `json:"room"`
	SpeakerPositions []SpeakerPlace `json:"speaker_positions"`

	HDR              *HDR              `json:"hdr"`
	HDRDynamic       []DynamicHDR      `json:"hdr_dynamic"`
	Colorimetry      []string          `json:"colorimetry"`
	VideoCapability  *VideoCapability  `json:"video_capability"`
	VideoFormats     []VideoFormat     `json:"video_formats"`
	FormatPreference []string          `json:"format_preference"`
	NativeFormat     *NativeFormat     `json:"native_format"`
	InfoFrames       []InfoFrame       `json:"info_frames"`
	TransferCurves   []TransferCurve   `json:"transfer_curves"`
	DisplayID        []DisplayIDHeader `json:"displayid"`

	// Problems are faults of the EDID itself, in plain words.
	Problems []string `json:"problems"`
}

// Block is one block of 128 bytes.
type Block struct {
	Number     int    `json:"number"`
	Tag        int    `json:"tag"` // first byte; 0 for the base block
	Kind       string `json:"kind"`
	ChecksumOK bool   `json:"checksum_ok"`
	Checksum   int    `json:"checksum"`
	Expected   int    `json:"expected_checksum"`
	Announced  bool   `json:"announced"`
	Bytes      int    `json:"bytes"` // 128, or fewer where the data stops short
}

// BlockMapRow is one line of a block map: which tag block number has.
type BlockMapRow struct {
	Block int `json:"block"`
	Tag   int `json:"tag"`
}

// Input is the video input definition, byte 0x14.
type Input struct {
	Digital   bool   `json:"digital"`
	BitDepth  int    `json:"bit_depth"` // per colour; 0 not stated
	Interface string `json:"interface"` // "HDMI-a", "" not stated
	// The analogue figures: level standard ("0.700 : 0.300 : 1.000") in volts
	// peak to peak, blank-to-black setup, accepted syncs.
	Level string   `json:"level_v"`
	Setup bool     `json:"setup"`
	Syncs []string `json:"syncs"`
}

// Features is the feature byte 0x18.
type Features struct {
	Standby   bool `json:"standby"`
	Suspend   bool `json:"suspend"`
	ActiveOff bool `json:"off"`
	// Color is "monochrome", "rgb", "other", "undefined" where the byte says
	// so (analogue, and EDID before 1.4), else "".
	Color    string `json:"color"`
	YCbCr444 bool   `json:"ycbcr_444"`
	YCbCr422 bool   `json:"ycbcr_422"`
	SRGB     bool   `json:"srgb"`
	// FirstIsPreferred is bit 1: in EDID 1.3 the first detailed timing is the
	// preferred one, in 1.4 it is also the native one.
	FirstIsPreferred bool `json:"first_is_preferred"`
	Continuous       bool `json:"continuous"` // bit 0, 1.4: any timing in range
	GTF              bool `json:"gtf"`        // bit 0, before 1.4
}

// Point is a chromaticity in CIE 1931 x and y.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// Chromaticity holds the primaries and the white point, bytes 0x19 to 0x22.
type Chromaticity struct {
	Red   Point `json:"red"`
	Green Point `json:"green"`
	Blue  Point `json:"blue"`
	White Point `json:"white"`
}

// WhitePoint is a further white point (descriptor FB).
type WhitePoint struct {
	Index int      `json:"index"`
	White Point    `json:"white"`
	Gamma *float64 `json:"gamma"`
}

// ColorManaged holds the colour management coefficients (descriptor F9).
type ColorManaged struct {
	Version int `json:"version"`
	// Coefficients are a3 and a2 of red, green, blue.
	Coefficients [6]float64 `json:"coefficients"`
}

// Range holds the range limits (descriptor FD).
type Range struct {
	MinVHz         int      `json:"min_v_hz"`
	MaxVHz         int      `json:"max_v_hz"`
	MinHKHz        int      `json:"min_h_khz"`
	MaxHKHz        int      `json:"max_h_khz"`
	MaxClockMHz    *float64 `json:"max_pixel_clock_mhz"` // corrected where CVT data corrects it
	Formula        string   `json:"formula"`             // "gtf", "limits", "secondary-gtf", "cvt", "unknown"
	CVTVersion     string   `json:"cvt_version"`         // "1.1", "" without CVT data
	MaxPixels      int      `json:"max_active_pixels"`   // 0: no limit stated
	Aspects        []string `json:"aspects"`
	PreferAspect   string   `json:"preferred_aspect"`
	CVTStandard    bool     `json:"cvt_standard_blanking"`
	CVTReduced     bool     `json:"cvt_reduced_blanking"`
	Scaling        []string `json:"scaling"`
	PreferRateHz   int      `json:"preferred_rate_hz"`
	GTFStartKHz    int      `json:"gtf_start_khz"`
	GTFC           float64  `json:"gtf_c_percent"`
	GTFM           int      `json:"gtf_m_percent_per_khz"`
	GTFK           int      `json:"gtf_k"`
	GTFJ           float64  `json:"gtf_j_percent"`
	statedClockMHz int
}
