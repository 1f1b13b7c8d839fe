package static

// Icon is a file with the icon as PNG, for those who take no SVG.
type Icon struct {
	File string
	Side int // in pixels
	// Maskable says that its edge may be cut off: the ground fills all of it, and
	// the rest is within the circle of 40 % of the side that is always shown (W3C,
	// Web Application Manifest, "Icon masks and safe zone").
	Maskable bool
}

// Icons are those that icons/ draws.
var Icons = []Icon{
	{File: "icon-192.png", Side: 192},
	{File: "icon-512.png", Side: 512},
	{File: "icon-maskable-192.png", Side: 192, Maskable: true},
	{File: "icon-maskable-512.png", Side: 512, Maskable: true},
}
