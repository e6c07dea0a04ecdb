package edid

// CTAHeader is the head of one CTA-861 extension block.
type CTAHeader struct {
	Block           int  `json:"block"`
	Revision        int  `json:"revision"`
	Underscan       bool `json:"underscan"`
	BasicAudio      bool `json:"basic_audio"`
	YCbCr444        bool `json:"ycbcr_444"`
	YCbCr422        bool `json:"ycbcr_422"`
	NativeTimings   int  `json:"native_detailed_timings"`
	DescriptorsByte int  `json:"descriptors_offset"`
}

// DataBlock is one data block of a CTA-861 extension, or of a DisplayID
// section that carries such blocks.
type DataBlock struct {
	Block    int    `json:"block"` // number of the 128-byte block
	Tag      int    `json:"tag"`
	Extended int    `json:"extended_tag"` // -1 unless Tag is 7
	Name     string `json:"name"`
	OUI      string `json:"oui"`         // vendor blocks: "00-0C-03"
	Payload  string `json:"payload_hex"` // after tag, extended tag and OUI
}

// Audio is one audio descriptor.
type Audio struct {
	Format   string    `json:"format"`      // "LPCM", "AC-3"
	Code     int       `json:"format_code"` // 1 to 14, 15 with Extended
	Extended int       `json:"extended_code"`
	Channels int       `json:"channels"` // 1 to 32; 0 where the format has none
	RatesKHz []float64 `json:"rates_khz"`
	Bits     []int     `json:"bits"` // sample sizes, LPCM only
	// MaxKbps is the highest bit rate in kbit/s (formats 2 to 8), else 0.
	MaxKbps int `json:"max_kbps"`
	// Detail is the third byte of formats that use it in a way of their own.
	Detail int `json:"detail"`
}

// HDR is the static metadata block (extended tag 6).
type HDR struct {
	// EOTFs are "sdr", "hdr-gamma", "pq" (SMPTE ST 2084), "hlg".
	EOTFs         []string `json:"eotfs"`
	MetadataTypes []int    `json:"static_metadata_types"`
	MaxNits       *float64 `json:"max_luminance_cd_m2"`
	MaxFrameNits  *float64 `json:"max_frame_average_luminance_cd_m2"`
	MinNits       *float64 `json:"min_luminance_cd_m2"`
}

// DynamicHDR is one entry of the dynamic metadata block (extended tag 7).
type DynamicHDR struct {
	Type    int `json:"type"`
	Version int `json:"version"` // -1 if not stated
}

// VideoCapability is extended tag 0. The three scan fields are "no-data" or
// "unsupported" (0), "overscan", "underscan", "both".
type VideoCapability struct {
	RGBRangeSelectable bool   `json:"rgb_range_selectable"`
	YCCRangeSelectable bool   `json:"ycc_range_selectable"`
	PreferredScan      string `json:"preferred_format_scan"`
	ITScan             string `json:"it_format_scan"`
	CEScan             string `json:"ce_format_scan"`
}

// VideoFormat is one descriptor of a video format data block (tag 6). The
// pixel clock follows from a formula that this package does not hold.
type VideoFormat struct {
	RID     int   `json:"rid"`
	Width   int   `json:"width"`
	Height  int   `json:"height"`
	RatesHz []int `json:"rates_hz"`
}

// NativeFormat is the native video resolution block (extended tag 8).
type NativeFormat struct {
	Format        string  `json:"format"`
	ImageWidthMM  float64 `json:"image_width_mm"`
	ImageHeightMM float64 `json:"image_height_mm"`
}

// InfoFrame is one entry of the InfoFrame block (extended tag 0x20).
type InfoFrame struct {
	Type int    `json:"type"`
	OUI  string `json:"oui"`
}

// TransferCurve is a VESA display transfer characteristic block (tag 5).
type TransferCurve struct {
	Channel string `json:"channel"` // "white", "red", "green", "blue"
	Steps   []int  `json:"steps"`   // 0 to 1023
}

// Room is the room configuration block (extended tag 0x13).
type Room struct {
	SpeakerCount  int       `json:"speaker_count"` // 0 not stated
	HasLocations  bool      `json:"has_locations"`
	Speakers      []string  `json:"speakers"`
	MaxDecimetres []int     `json:"max_dm"`           // x, y, z; empty if not stated
	DisplayPlace  []float64 `json:"display_position"` // parts of the maximum
}

// SpeakerPlace is one entry of the speaker location block (extended tag 0x14).
type SpeakerPlace struct {
	Channel  int       `json:"channel"`
	Active   bool      `json:"active"`
	Speaker  string    `json:"speaker"`
	Position []float64 `json:"position"` // x, y, z as parts of the maximum
}

// HDMI is the vendor block with OUI 00-0C-03.
type HDMI struct {
	PhysicalAddress string `json:"physical_address"`
	SupportsAI      bool   `json:"supports_ai"`
	DeepColorBits   []int  `json:"deep_color_bits"` // 30, 36, 48
	DeepColor444    bool   `json:"deep_color_444"`
	DualLinkDVI     bool   `json:"dual_link_dvi"`
	MaxTMDSMHz      *int   `json:"max_tmds_mhz"`
	// ContentTypes are "graphics", "photo", "cinema", "game".
	ContentTypes []string `json:"content_types"`
	// Latencies in ms; nil where not stated, -1 where that kind of signal is
	// not supported. The interlaced pair stands only if stated by itself.
	VideoLatencyMS           *int `json:"video_latency_ms"`
	AudioLatencyMS           *int `json:"audio_latency_ms"`
	InterlacedVideoLatencyMS *int `json:"interlaced_video_latency_ms"`
	InterlacedAudioLatencyMS *int `json:"interlaced_audio_latency_ms"`
	ThreeD                   bool `json:"three_d"`
	// ImageSize says how the base block's image size is to be read here:
	// "", "aspect", "1 cm", "5 cm".
	ImageSize string `json:"image_size_unit"`
	VICs      []int  `json:"hdmi_vics"`
	// ThreeDAll lists the structures for all formats, ThreeDFormats the VICs
	// that take them ("" and empty: none).
	ThreeDAll     []string     `json:"three_d_structures"`
	ThreeDVICs    []int        `json:"three_d_vics"`
	ThreeDSingles []ThreeDMode `json:"three_d_formats"`
}

// ThreeDMode is a 3D structure stated for one video format.
type ThreeDMode struct {
	VIC       int    `json:"vic"`
	Structure string `json:"structure"`
}

// Forum is the HDMI Forum block, vendor or sink capability form.
type Forum struct {
	Version         int   `json:"version"`
	SinkCapability  bool  `json:"sink_capability"` // carried as extended tag 0x79
	MaxTMDSMHz      *int  `json:"max_tmds_mhz"`    // nil: not above 340
	SCDC            bool  `json:"scdc"`
	ReadRequest     bool  `json:"scdc_read_request"`
	CableStatus     bool  `json:"cable_status"`
	BitsIndication  bool  `json:"content_bits_indication"`
	ScrambleBelow   bool  `json:"scrambling_at_or_below_340"`
	IndependentView bool  `json:"three_d_independent_view"`
	DualView        bool  `json:"three_d_dual_view"`
	OSDDisparity    bool  `json:"three_d_osd_disparity"`
	FRL             int   `json:"frl"` // 0 none, 1 to 6 (check values H-013 to H-018)
	UHDVIC          bool  `json:"uhd_vic"`
	Deep420Bits     []int `json:"deep_color_420_bits"` // per component: 10, 12, 16
	MDelta          bool  `json:"m_delta"`
	CinemaVRR       bool  `json:"cinema_vrr"`
	NegativeMVRR    bool  `json:"negative_m_vrr"`
	FastVActive     bool  `json:"fast_v_active"`
	LowLatency      bool  `json:"auto_low_latency"`
	FAPAInBlanking  bool  `json:"fapa_in_blanking"`
	VRRMinHz        int   `json:"vrr_min_hz"`
	VRRMaxHz        int   `json:"vrr_max_hz"`
	DSC             bool  `json:"dsc"`
	DSC420          bool  `json:"dsc_420"`
	DSCAllBPP       bool  `json:"dsc_all_bpp"`
	DSCBits         []int `json:"dsc_bits"`
	DSCSlices       int   `json:"dsc_max_slices_code"`
	DSCFRL          int   `json:"dsc_frl"`
	DSCChunkBytes   int   `json:"dsc_max_chunk_bytes"`
}
