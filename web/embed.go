package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"mime"
	"path"
	"strings"
)

//go:embed templates static
var files embed.FS

// ContentSecurityPolicy is the policy every page is written for: no script at
// all, one stylesheet of our own, forms that go nowhere else.
const ContentSecurityPolicy = "default-src 'none'; style-src 'self'; img-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// Asset is a file that pages refer to. Its address holds a hash of its
// content, so it may be kept by a browser for ever.
type Asset struct {
	Path string // address, with a leading slash
	Type string // media type
	Data []byte
}

// Assets are all the files that pages refer to, by address.
var Assets = loadAssets()

func loadAssets() map[string]Asset {
	entries, err := files.ReadDir("static")
	if err != nil {
		panic("web: no static files: " + err.Error())
	}
	assets := map[string]Asset{}
	for _, e := range entries {
		data, err := files.ReadFile("static/" + e.Name())
		if err != nil {
			panic("web: " + err.Error())
		}
		sum := sha256.Sum256(data)
		ext := path.Ext(e.Name())
		stem := strings.TrimSuffix(e.Name(), ext)
		at := "/static/" + stem + "." + hex.EncodeToString(sum[:6]) + ext
		assets[at] = Asset{Path: at, Type: mime.TypeByExtension(ext), Data: data}
	}
	return assets
}

// assetPath gives the address of a static file by its plain name.
func assetPath(name string) string {
	ext := path.Ext(name)
	stem := "/static/" + strings.TrimSuffix(name, ext) + "."
	for at := range Assets {
		if strings.HasPrefix(at, stem) && path.Ext(at) == ext {
			return at
		}
	}
	panic("web: no static file " + name)
}
