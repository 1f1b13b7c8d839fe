package web

import (
	"slotcast/web/api"
	"slotcast/web/page"
)

// manualOf is what the interface says of itself, for the manual's page.
func manualOf() page.Manual {
	var m page.Manual
	for _, o := range api.Routes() {
		m.Routes = append(m.Routes, page.ManualRoute{Method: o.Method, Path: o.Path, Summary: o.Summary, Parameters: o.Parameters})
	}
	for _, p := range api.Parameters() {
		m.Parameters = append(m.Parameters, page.ManualTerm{Name: p.Name, Meaning: p.Meaning})
	}
	return m
}
