package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"mime"
	"path"
	"slices"
	"strings"
)

//go:embed templates static script/*.js
var files embed.FS

// ContentSecurityPolicy is the policy that every page is written for: one
// stylesheet and our own scripts, from files and never from the page itself;
// pictures from here or just taken; forms and requests that go nowhere else.
// WebAssembly may be compiled, which does not permit eval.
const ContentSecurityPolicy = "default-src 'none'; style-src 'self'; img-src 'self' blob:; " +
	"script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// PictureSecurityPolicy is the policy of a picture that somebody took: nothing in
// it may run or load anything.
const PictureSecurityPolicy = "default-src 'none'; sandbox; frame-ancestors 'none'"

// Asset is a file that pages refer to. Its address contains a hash of its
// content, so browsers may cache it for ever.
type Asset struct {
	Path string // address, with a leading slash
	Type string // media type
	Data []byte
	// Packed says that Data is compressed with gzip (RFC 1952).
	Packed bool
}

// Assets holds all files that pages refer to, by address.
var Assets = loadAssets()

func loadAssets() map[string]Asset {
	assets := map[string]Asset{}
	for name, data := range oneSheet(folder("static")) {
		ext := path.Ext(name)
		at := "/static/" + strings.TrimSuffix(name, ext) + "." + hashOf(data) + ext
		assets[at] = Asset{Path: at, Type: mime.TypeByExtension(ext), Data: data}
	}
	for name, data := range modules() {
		at := scriptFolder() + name
		assets[at] = Asset{Path: at, Type: javaScript, Data: data}
	}
	return assets
}

// oneSheet puts what drawings and programmes look like, and what is under a thumb, behind the sheet
// that they go with: a page asks for one stylesheet.
func oneSheet(all map[string][]byte) map[string][]byte {
	const sheet = "sheet.css"
	for _, more := range []string{"plan.css", "programme.css", "thumb.css"} {
		all[sheet] = slices.Concat(all[sheet], []byte("\n"), all[more])
		delete(all, more)
	}
	return all
}

// folder returns the files of an embedded folder by name.
func folder(name string) map[string][]byte {
	entries, err := files.ReadDir(name)
	if err != nil {
		panic("web: no folder: " + err.Error())
	}
	out := map[string][]byte{}
	for _, e := range entries {
		data, err := files.ReadFile(name + "/" + e.Name())
		if err != nil {
			panic("web: " + err.Error())
		}
		out[e.Name()] = data
	}
	return out
}

// hashOf returns the part of an address that changes with the content.
func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:6])
}

// assetPath returns the address of a static file or a script by its plain name.
func assetPath(name string) string {
	if at := scriptFolder() + name; Assets[at].Path != "" {
		return at
	}
	ext := path.Ext(name)
	stem := "/static/" + strings.TrimSuffix(name, ext) + "."
	for at := range Assets {
		if strings.HasPrefix(at, stem) && path.Ext(at) == ext {
			return at
		}
	}
	panic("web: no static file " + name)
}
