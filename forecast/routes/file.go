package routes

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"slotcast/cube"
	"slotcast/forecast/hands"
	"slotcast/forecast/twoslots"
)

//go:generate go run ../search/steps steps.bin

// What the search found; see [Encode].
//
//go:embed steps.bin
var stepsFile []byte

// Row is a step as the file has it: a rotation by so many quarters of y, then the turns,
// and how long the turns take the hands as they are estimated, in milliseconds.
type Row struct {
	Rotation uint8
	Turns    cube.Sequence
	Ms       uint16
}

// Rows are the steps for each open slots, for two hands and for the right hand alone.
type Rows [2][twoslots.Opens][]Row

// The file: the words below, the version as a byte, then a part for each of [parts]: the
// length of the part, packed, as four bytes, the SHA-256 of it unpacked, and it packed.
// Unpacked it has the number of rows as four bytes; for each row a byte, its rotation*32
// and the number of its turns; for each two bytes with its time in milliseconds;
// and the turns, a byte each. Numbers are little-endian.
const (
	fileWords   = "slotcast steps\n"
	fileVersion = 1
)

// Why a file is refused.
var (
	ErrNoSteps = errors.New("this is no file of steps")
	ErrVersion = errors.New("the file of steps is of another version; make it again")
	ErrDamaged = errors.New("the file of steps is damaged; make it again")
)

// part is one part of the file.
type part struct {
	handed hands.Handed
	open   twoslots.Open
}

// parts are those of the file, in order: two hands have the mirror images at open slots
// that are not among them, and the left hand has those of the right one.
var parts = func() (list []part) {
	for _, handed := range []hands.Handed{hands.TwoHands, hands.RightHand} {
		for open := range twoslots.Open(twoslots.Opens) {
			if handed == hands.TwoHands && mirrored(open) < open {
				continue
			}
			list = append(list, part{handed, open})
		}
	}
	return list
}()

// mirrored is where the open slots are for the other hand.
func mirrored(open twoslots.Open) twoslots.Open {
	slots := open.Slots()
	// FR and FL stand side by side in the order of the slots, and BL and BR.
	return twoslots.OpenOf(slots[0]^1, slots[1]^1)
}

// Encode is the file of the rows.
func Encode(rows *Rows) ([]byte, error) {
	var file bytes.Buffer
	file.WriteString(fileWords)
	file.WriteByte(fileVersion)
	for _, p := range parts {
		list := rows[p.handed][p.open]
		body := binary.LittleEndian.AppendUint32(nil, uint32(len(list)))
		for _, r := range list {
			if len(r.Turns) >= 32 || r.Rotation > 3 {
				return nil, fmt.Errorf("%s has too many turns for a file", r.Turns)
			}
			body = append(body, r.Rotation<<5|uint8(len(r.Turns)))
		}
		for _, r := range list {
			body = binary.LittleEndian.AppendUint16(body, r.Ms)
		}
		for _, r := range list {
			for _, turn := range r.Turns {
				body = append(body, byte(turn))
			}
		}
		var packed bytes.Buffer
		// None of these fails: the level is one that there is, and memory takes every byte.
		writer, err := flate.NewWriter(&packed, flate.BestCompression)
		if err != nil {
			return nil, err
		}
		if _, err := writer.Write(body); err != nil {
			return nil, err
		}
		if err := writer.Close(); err != nil {
			return nil, err
		}
		file.Write(binary.LittleEndian.AppendUint32(nil, uint32(packed.Len())))
		sum := sha256.Sum256(body)
		file.Write(sum[:])
		file.Write(packed.Bytes())
	}
	return file.Bytes(), nil
}

// find finds a part in a file: its checksum, and it packed.
func find(file []byte, wanted part) (sum, packed []byte, err error) {
	rest, ok := bytes.CutPrefix(file, []byte(fileWords))
	switch {
	case !ok:
		return nil, nil, ErrNoSteps
	case len(rest) == 0:
		return nil, nil, ErrDamaged
	case rest[0] != fileVersion:
		return nil, nil, ErrVersion
	}
	rest = rest[1:]
	for _, p := range parts {
		if len(rest) < 4+sha256.Size {
			return nil, nil, ErrDamaged
		}
		length := int(binary.LittleEndian.Uint32(rest))
		if len(rest)-4-sha256.Size < length {
			return nil, nil, ErrDamaged
		}
		sum, packed, rest = rest[4:4+sha256.Size], rest[4+sha256.Size:][:length], rest[4+sha256.Size+length:]
		if p == wanted {
			return sum, packed, nil
		}
	}
	return nil, nil, ErrDamaged
}

// decode reads a part of a file and checks it.
func decode(file []byte, wanted part) ([]Row, error) {
	sum, packed, err := find(file, wanted)
	if err != nil {
		return nil, err
	}
	body, err := io.ReadAll(flate.NewReader(bytes.NewReader(packed)))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDamaged, err)
	}
	if is := sha256.Sum256(body); !bytes.Equal(is[:], sum) {
		return nil, fmt.Errorf("%w: its checksum is wrong", ErrDamaged)
	}
	// With the checksum right the rest is as Encode wrote it.
	count := int(binary.LittleEndian.Uint32(body))
	shapes, times, turns := body[4:4+count], body[4+count:4+3*count], body[4+3*count:]
	all := make(cube.Sequence, len(turns))
	for i, turn := range turns {
		all[i] = cube.Turn(turn)
	}
	rows := make([]Row, count)
	for i := range rows {
		length := int(shapes[i] & 31)
		rows[i] = Row{Rotation: shapes[i] >> 5, Turns: all[:length:length], Ms: binary.LittleEndian.Uint16(times[2*i:])}
		all = all[length:]
	}
	return rows, nil
}

// load has the rows of a part of the embedded file, for the left hand and for slots that
// the file leaves out the mirror images of what it has.
func load(file []byte, handed hands.Handed, open twoslots.Open) ([]Row, error) {
	wanted, mirror := part{handed, open}, false
	switch {
	case handed == hands.LeftHand:
		wanted, mirror = part{hands.RightHand, mirrored(open)}, true
	case handed == hands.TwoHands && mirrored(open) < open:
		wanted.open, mirror = mirrored(open), true
	}
	rows, err := decode(file, wanted)
	if err != nil || !mirror {
		return rows, err
	}
	for i := range rows {
		rows[i].Rotation = -rows[i].Rotation & 3
		rows[i].Turns = rows[i].Turns.Mirror(cube.MirrorLR)
	}
	return rows, nil
}
