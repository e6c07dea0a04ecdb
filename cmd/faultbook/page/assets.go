package page

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"mime"
	"path"
)

//go:embed assets
var assetFiles embed.FS

// assetPath is the address of an embedded file. It holds a digest of the
// content, so that a browser may keep it for good.
func assetPath(name string) (string, error) {
	data, err := fs.ReadFile(assetFiles, "assets/"+name)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(data)
	return "/assets/" + hex.EncodeToString(sum[:6]) + "/" + name, nil
}

// assetType is the kind of an embedded file; the platform's own
// table is not asked, because it differs from one to the next.
func assetType(name string) string {
	switch path.Ext(name) {
	case ".css":
		return "text/css; charset=utf-8"
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".svg":
		return "image/svg+xml"
	}
	return mime.TypeByExtension(path.Ext(name))
}

func (s *Server) assetScreen() screen {
	return screen{Routes: []route{{Pattern: "GET /assets/{digest}/{name}", Do: s.asset, Open: true}}}
}

func (s *Server) asset(v *visit) error {
	name := v.r.PathValue("name")
	if !fs.ValidPath(name) {
		return missing("There is no file of that name.")
	}
	data, err := fs.ReadFile(assetFiles, "assets/"+name)
	if err != nil {
		return missing("There is no file of that name.")
	}
	v.w.Header().Set("Content-Type", assetType(name))
	if now, err := assetPath(name); err == nil && now == v.r.URL.Path {
		v.w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	v.w.Write(data) // a browser that went away needs no answer
	return nil
}
