package exchange

// Limits of what is read. They are far above what a helpdesk writes in years
// and low enough that an archive made to do harm does none.
const (
	maxCase     = 1 << 20   // bytes of a case, as in package cases
	maxText     = 256 << 10 // bytes of an entry or room sheet, as in package kb
	maxRecords  = 200_000
	maxTotal    = 256 << 20 // bytes of all records together
	maxManifest = 48 << 20  // bytes of MANIFEST: 200,000 lines of 240
	maxPath     = 220       // bytes of a path
	maxPart     = 120       // bytes of a part of a path
	maxParts    = 8
	maxVersions = 64 // of one record in an archive
)

// maxSize is the largest record of a kind, in bytes.
func maxSize(kind string) int {
	if kind == KindCase {
		return maxCase
	}
	return maxText
}
