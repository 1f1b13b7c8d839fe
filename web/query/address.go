package query

import (
	"maps"
	"net/url"
)

// With is the address of the same page with a parameter changed, or left out.
func With(path string, asked url.Values, name, value string) string {
	values := maps.Clone(asked)
	values.Set(name, value)
	if value == "" {
		values.Del(name)
	}
	if len(values) == 0 {
		return path
	}
	return path + "?" + values.Encode()
}
