package page

import (
	"fmt"

	"slotcast/web/picture"
)

// sharingView is how a page is handed on: by what the device shares with, by
// copying its link, or by a camera that reads the link as a picture.
type sharingView struct {
	// ID is that of the field with the link; Label says what is unfolded.
	ID, Label string
	// Title is what the device may send beside the link.
	Title, Address string
	// Code is the link as a QR code.
	Code string
}

func sharingOf(id, label, title, address string) (sharingView, error) {
	code, err := picture.QR(address)
	if err != nil {
		return sharingView{}, fmt.Errorf("draw the link %s: %w", address, err)
	}
	return sharingView{ID: id, Label: label, Title: title, Address: address, Code: code}, nil
}
