package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"os"
)

// The write-ahead log and its index, as SQLite's “WAL-mode File Format” has them: the
// log is a header and frames, each with a page and a checksum over all before it; the
// index begins with what all connections take the log to hold.
const (
	logHeaderSize   = 32
	frameHeaderSize = 24
	indexHeaderSize = 48
	logMagic        = 0x377f0682 // its last bit says in which order of bytes sums are made
	logFormat       = 3007000
	largestPage     = 64 << 10
)

// logEnd is where a log ends for those who read it: after so many frames, with this
// checksum, in the generation that the salt names.
type logEnd struct {
	frames uint32
	sum    [2]uint32
	salt   [8]byte
}

// endInIndex is the end of the log as the connections know it. The header is there
// twice, and is being written at this moment where the two are not alike: then it is
// not known.
func endInIndex(index io.ReaderAt) (e logEnd, known bool, err error) {
	var header [2 * indexHeaderSize]byte
	if _, err := index.ReadAt(header[:], 0); err != nil {
		return e, false, orShort(err)
	}
	if !bytes.Equal(header[:indexHeaderSize], header[indexHeaderSize:]) {
		return e, false, nil
	}
	e.frames = binary.NativeEndian.Uint32(header[16:])
	e.sum = [2]uint32{binary.NativeEndian.Uint32(header[24:]), binary.NativeEndian.Uint32(header[28:])}
	e.salt = [8]byte(header[32:40])
	return e, true, nil
}

// begins says whether the log is of the generation that its end is of, and as long:
// what can be seen without reading all of it.
func (e logEnd) begins(log *os.File) (bool, error) {
	if e.frames == 0 {
		return true, nil
	}
	var header [logHeaderSize]byte
	if _, err := log.ReadAt(header[:], 0); err != nil {
		return false, orShort(err)
	}
	info, err := log.Stat()
	if err != nil {
		return false, err
	}
	return [8]byte(header[16:24]) == e.salt && info.Size() >= logHeaderSize+int64(e.frames)*int64(frameHeaderSize+binary.BigEndian.Uint32(header[8:])), nil
}

// reaches says whether the log holds what it should up to its end: every frame is
// whole. A log without frames holds all of nothing.
func (e logEnd) reaches(log io.ReaderAt) (bool, error) {
	if e.frames == 0 {
		return true, nil
	}
	var header [logHeaderSize]byte
	if _, err := log.ReadAt(header[:], 0); err != nil {
		return false, orShort(err)
	}
	magic := binary.BigEndian.Uint32(header[0:])
	if magic&^1 != logMagic || binary.BigEndian.Uint32(header[4:]) != logFormat || [8]byte(header[16:24]) != e.salt {
		return false, nil
	}
	order := binary.ByteOrder(binary.LittleEndian)
	if magic&1 == 1 {
		order = binary.BigEndian
	}
	sum := addSum(order, [2]uint32{}, header[:24])
	if !isSum(sum, header[24:]) {
		return false, nil
	}
	page := binary.BigEndian.Uint32(header[8:])
	if page > largestPage {
		return false, nil
	}
	frame := make([]byte, frameHeaderSize+page)
	for n := range int64(e.frames) {
		if _, err := log.ReadAt(frame, logHeaderSize+n*int64(len(frame))); err != nil {
			return false, orShort(err)
		}
		sum = addSum(order, addSum(order, sum, frame[:8]), frame[frameHeaderSize:])
		if [8]byte(frame[8:16]) != e.salt || !isSum(sum, frame[16:]) {
			return false, nil
		}
	}
	return sum == e.sum, nil
}

// orShort is nil for a file that ends too early, which is no trouble with reading it.
func orShort(err error) error {
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}

func isSum(sum [2]uint32, stored []byte) bool {
	return sum == [2]uint32{binary.BigEndian.Uint32(stored), binary.BigEndian.Uint32(stored[4:])}
}

// addSum goes on with a checksum over the bytes, of which there are a multiple of 8.
func addSum(order binary.ByteOrder, sum [2]uint32, of []byte) [2]uint32 {
	for ; len(of) >= 8; of = of[8:] {
		sum[0] += order.Uint32(of) + sum[1]
		sum[1] += order.Uint32(of[4:]) + sum[0]
	}
	return sum
}
