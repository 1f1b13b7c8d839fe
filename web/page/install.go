package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"slotcast/web/static"
)

// manifest is what a device needs to know to install the pages as a program (W3C,
// Web Application Manifest).
type manifest struct {
	ID              string             `json:"id"`
	Name            string             `json:"name"`
	ShortName       string             `json:"short_name"`
	Description     string             `json:"description"`
	Lang            string             `json:"lang"`
	Dir             string             `json:"dir"`
	StartURL        string             `json:"start_url"`
	Scope           string             `json:"scope"`
	Display         string             `json:"display"`
	BackgroundColor string             `json:"background_color"`
	ThemeColor      string             `json:"theme_color"`
	Categories      []string           `json:"categories"`
	Icons           []manifestIcon     `json:"icons"`
	Shortcuts       []manifestShortcut `json:"shortcuts"`
}

type manifestIcon struct {
	Src     string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose"`
}

type manifestShortcut struct {
	Name string `json:"name"`
	URL  string `json:"url"`
}

// shortcuts lead from the program's icon to a page.
var shortcuts = []manifestShortcut{{"Ratings", "/ratings"}, {"Learn", "/learn"}, {"Your cases", "/cases"}}

func (s *Server) manifest() manifest {
	m := manifest{
		ID: "/", Name: "Slotcast", ShortName: "Slotcast", Description: "What each insertion of the last slot leaves on top, fastest first.",
		Lang: "en", Dir: "ltr", StartURL: "/", Scope: "/", Display: "standalone",
		BackgroundColor: static.LightGround, ThemeColor: static.LightGround, Categories: []string{"utilities", "games"},
		Icons:     []manifestIcon{{s.static.Url("icon.svg"), "any", "image/svg+xml", "any"}},
		Shortcuts: shortcuts,
	}
	for _, i := range static.Icons {
		icon := manifestIcon{s.static.Url(i.File), fmt.Sprintf("%dx%d", i.Side, i.Side), "image/png", "any"}
		if i.Maskable {
			icon.Purpose = "maskable"
		}
		m.Icons = append(m.Icons, icon)
	}
	return m
}

// ManifestFile answers GET /manifest.webmanifest.
func (s *Server) ManifestFile(w http.ResponseWriter, r *http.Request) error {
	content, err := json.Marshal(s.manifest())
	if err != nil {
		return fmt.Errorf("write the manifest: %w", err)
	}
	w.Header().Set("Content-Type", "application/manifest+json")
	w.Header().Set("Cache-Control", "public, no-cache")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(content))
	return nil
}

// WorkerFile answers GET /worker.js with the script that keeps pages for when there
// is no network. It names the files that pages are made of, so that with each of
// them the worker is a new one.
func (s *Server) WorkerFile(w http.ResponseWriter, r *http.Request) error {
	var files []string
	for _, file := range []string{"app.css", "app.js", "icon.svg"} {
		files = append(files, s.static.Url(file))
	}
	slices.Sort(files)
	list, err := json.Marshal(files)
	if err != nil {
		return fmt.Errorf("list the files of pages: %w", err)
	}
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	w.Header().Set("Cache-Control", "public, no-cache")
	content := "self.pageFiles=" + string(list) + ";\n" + string(s.static.File("worker.js"))
	http.ServeContent(w, r, "", time.Time{}, strings.NewReader(content))
	return nil
}

// offlineView is the page that stands in for one that was not kept.
type offlineView struct{ pageView }

// Offline answers GET /offline. It is anybody's: what it lists comes from the
// device.
func (s *Server) Offline(w http.ResponseWriter, r *http.Request) error {
	return render(w, r, http.StatusOK, offlinePage(offlineView{s.pageView("Without a network – Slotcast", "What is kept on this device.", "")}))
}
