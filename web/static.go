package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"net/http"
	"path"
	"time"

	"github.com/go-chi/chi/v5"
)

//go:generate go run github.com/evanw/esbuild/cmd/esbuild@v0.28.2 script/app.ts --bundle --minify --target=es2022 --charset=utf8 --outfile=static/app.js
//go:generate go run github.com/evanw/esbuild/cmd/esbuild@v0.28.2 script/worker.ts --bundle --minify --target=es2022 --charset=utf8 --outfile=static/worker.js
//go:generate go run github.com/evanw/esbuild/cmd/esbuild@v0.28.2 style/app.css --bundle --minify --target=es2022 --charset=utf8 --outfile=static/app.css

//go:embed static
var staticFS embed.FS

// staticFiles has the embedded files under names that carry a part of their
// hash, so that a browser may keep each for ever.
type staticFiles struct {
	content map[string][]byte // by the name in the address
	names   map[string]string // the name in the address, by the file's
}

func newStaticFiles() *staticFiles {
	files := &staticFiles{content: map[string][]byte{}, names: map[string]string{}}
	entries, err := staticFS.ReadDir("static")
	if err != nil {
		panic(err)
	}
	for _, entry := range entries {
		content, err := staticFS.ReadFile("static/" + entry.Name())
		if err != nil {
			panic(err)
		}
		files.add(entry.Name(), content)
	}
	for file, content := range drawIcons() {
		files.add(file, content)
	}
	return files
}

func (f *staticFiles) add(file string, content []byte) {
	hash := sha256.Sum256(content)
	extension := path.Ext(file)
	stem := file[:len(file)-len(extension)]
	name := stem + "-" + hex.EncodeToString(hash[:6]) + extension
	f.content[name], f.names[file] = content, name
}

// url is the address of an embedded file.
func (f *staticFiles) url(file string) string {
	name, ok := f.names[file]
	if !ok {
		panic("web: no static file " + file)
	}
	return "/static/" + name
}

// file is what the embedded file has in it.
func (f *staticFiles) file(name string) []byte { return f.content[f.names[name]] }

// serve answers GET /static/{name}.
func (f *staticFiles) serve(w http.ResponseWriter, r *http.Request) error {
	name := chi.URLParam(r, "name")
	content, ok := f.content[name]
	if !ok {
		return &problem{Status: http.StatusNotFound}
	}
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(content))
	return nil
}
