package static

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"net/http"
	"path"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/web/problem"
)

//go:generate go run github.com/evanw/esbuild/cmd/esbuild@v0.28.2 ../script/app.ts --bundle --minify --target=es2022 --charset=utf8 --outfile=app.js
//go:generate go run github.com/evanw/esbuild/cmd/esbuild@v0.28.2 ../script/worker.ts --bundle --minify --target=es2022 --charset=utf8 --outfile=worker.js
//go:generate go run ../picture/tiles -o ../style/tiles.css
//go:generate go run github.com/evanw/esbuild/cmd/esbuild@v0.28.2 ../style/app.css --bundle --minify --target=es2022 --charset=utf8 --outfile=app.css
//go:generate go run ./icons .

//go:embed app.css app.js worker.js icon.svg *.png
var embedded embed.FS

// Files has the embedded files under names that carry a part of their
// hash, so that a browser may keep each for ever.
type Files struct {
	content map[string][]byte // by the name in the address
	names   map[string]string // the name in the address, by the file's
}

// New reads the embedded files.
func New() *Files {
	files := &Files{content: map[string][]byte{}, names: map[string]string{}}
	entries, err := embedded.ReadDir(".")
	if err != nil {
		panic(err)
	}
	for _, entry := range entries {
		content, err := embedded.ReadFile(entry.Name())
		if err != nil {
			panic(err)
		}
		files.add(entry.Name(), content)
	}
	return files
}

func (f *Files) add(file string, content []byte) {
	hash := sha256.Sum256(content)
	extension := path.Ext(file)
	stem := file[:len(file)-len(extension)]
	name := stem + "-" + hex.EncodeToString(hash[:6]) + extension
	f.content[name], f.names[file] = content, name
}

// Url is the address of an embedded file.
func (f *Files) Url(file string) string {
	name, ok := f.names[file]
	if !ok {
		panic("static: no file " + file)
	}
	return "/static/" + name
}

// File is what the embedded file has in it.
func (f *Files) File(name string) []byte { return f.content[f.names[name]] }

// Serve answers GET /static/{name}.
func (f *Files) Serve(w http.ResponseWriter, r *http.Request) error {
	name := chi.URLParam(r, "name")
	content, ok := f.content[name]
	if !ok {
		return &problem.Problem{Status: http.StatusNotFound}
	}
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(content))
	return nil
}
