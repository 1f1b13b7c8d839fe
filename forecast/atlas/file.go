package atlas

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
)

// The file: the words below, the version as a byte, the SHA-256 of all that
// follows unpacked, then that, packed: for each length from 0 to longestRow the
// number of rows as four bytes; the rows, a byte for each turn; and for each
// class and pattern the number of the row as two bytes. Numbers are little-endian.
const (
	fileWords   = "slotcast atlas\n"
	fileVersion = 1
)

// Why a file is refused.
var (
	ErrNoAtlas = errors.New("this is no atlas")
	ErrVersion = errors.New("the atlas is of another version; build it again")
	ErrDamaged = errors.New("the atlas is damaged; build it again")
)

// Encode is the file of what was found.
func (f *Found) Encode() ([]byte, error) {
	var body bytes.Buffer
	var counts [longestRow + 1]uint32
	for _, row := range f.Rows {
		counts[len(row)]++
	}
	for _, count := range counts {
		body.Write(binary.LittleEndian.AppendUint32(nil, count))
	}
	for _, row := range f.Rows {
		for _, turn := range row {
			body.WriteByte(byte(turn))
		}
	}
	for _, entry := range f.Entries {
		if int(entry) >= len(f.Rows) || entry > 1<<16-1 {
			return nil, fmt.Errorf("an entry names the row %d of %d", entry, len(f.Rows))
		}
		body.Write(binary.LittleEndian.AppendUint16(nil, uint16(entry)))
	}

	var file bytes.Buffer
	file.WriteString(fileWords)
	file.WriteByte(fileVersion)
	sum := sha256.Sum256(body.Bytes())
	file.Write(sum[:])
	// Neither fails: the level is one that there is, and memory takes every byte.
	packed, err := flate.NewWriter(&file, flate.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := packed.Write(body.Bytes()); err != nil {
		return nil, err
	}
	err = packed.Close()
	return file.Bytes(), err
}

// decode reads a file and checks it.
func decode(file []byte) (rows []cube.Sequence, entries []uint16, err error) {
	rest, ok := bytes.CutPrefix(file, []byte(fileWords))
	if !ok {
		return nil, nil, ErrNoAtlas
	}
	if len(rest) < 1+sha256.Size {
		return nil, nil, ErrDamaged
	}
	if rest[0] != fileVersion {
		return nil, nil, ErrVersion
	}
	body, err := io.ReadAll(flate.NewReader(bytes.NewReader(rest[1+sha256.Size:])))
	if err != nil {
		return nil, nil, fmt.Errorf("%w: %w", ErrDamaged, err)
	}
	if sum := sha256.Sum256(body); !bytes.Equal(sum[:], rest[1:1+sha256.Size]) {
		return nil, nil, fmt.Errorf("%w: its checksum is wrong", ErrDamaged)
	}
	// With the checksum right the rest is as Encode wrote it.
	turns := body[4*(longestRow+1):]
	for length := range longestRow + 1 {
		for range binary.LittleEndian.Uint32(body[4*length:]) {
			row := make(cube.Sequence, length)
			for i := range row {
				row[i] = cube.Turn(turns[i])
			}
			rows, turns = append(rows, row), turns[length:]
		}
	}
	entries = make([]uint16, Classes*lastslot.Patterns)
	for i := range entries {
		entries[i] = binary.LittleEndian.Uint16(turns[2*i:])
	}
	return rows, entries, nil
}
