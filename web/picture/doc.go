// Package picture draws: a position, a pattern, the map of an insertion, a link as a
// QR code, the preview of a shared case. Values come in, SVG or PNG goes out; nothing
// here reads a request. It imports words and static.
package picture
