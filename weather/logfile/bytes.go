package logfile

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// The largest file read, in bytes: a year of a reading a minute, and a month of
// ten a second, which are averaged while they are read.
const (
	MaxSize = 32 << 20
	MaxFast = 1 << 30
)

// The encodings.
const (
	utf8Text    = "UTF-8"
	utf16Text   = "UTF-16"
	windowsText = "Windows-1252"
)

// slurp reads all of r as text with lone LF line ends, and names its encoding.
// head is what is wrong with its beginning: of a file that is too large as well,
// that is told.
func slurp(name string, r io.Reader, head error) (content, encoding string, err error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	switch {
	case err != nil:
		return "", "", fmt.Errorf("%s: %w", name, err)
	case len(data) > MaxSize && head != nil:
		return "", "", head
	case len(data) > MaxSize:
		return "", "", sizeError(name, MaxSize)
	}
	return plainText(name, data)
}

// plainText is what slurp makes of bytes.
func plainText(name string, data []byte) (content, encoding string, err error) {
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		return "", "", &Error{At: At{File: name}, Message: "is a workbook or a zip archive", Want: "its sheet, saved as CSV"}
	}
	content, encoding, err = decode(data)
	if err != nil {
		return "", "", fmt.Errorf("%s: %w", name, err)
	}
	if i := strings.IndexByte(content, 0); i >= 0 {
		return "", "", nulError(name, 1+strings.Count(content[:i], "\n"))
	}
	content = strings.ReplaceAll(content, "\r\n", "\n")
	return strings.ReplaceAll(content, "\r", "\n"), encoding, nil
}

func sizeError(name string, most int) *Error {
	return &Error{At: At{File: name}, Message: fmt.Sprintf("is larger than %d MiB", most>>20), Want: "the readings of the last weeks"}
}

func nulError(name string, line int) *Error {
	return &Error{At: At{File: name, Line: line}, Message: "holds NUL bytes: it is UTF-16 without its byte order mark, or no text", Want: "CSV saved as UTF-8"}
}

// decode turns bytes into text: by the byte order mark, else UTF-8 if it is
// valid, else Windows-1252, in which every byte is a letter.
func decode(data []byte) (content, encoding string, err error) {
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		// Behind the mark, a broken byte is a broken byte and not another encoding.
		return strings.ToValidUTF8(string(data[3:]), "\ufffd"), utf8Text, nil
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		data, err = unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		return string(data), utf16Text, err
	case utf8.Valid(whole(data)):
		return strings.ToValidUTF8(string(data), "\ufffd"), utf8Text, nil
	}
	data, err = charmap.Windows1252.NewDecoder().Bytes(data)
	return string(data), windowsText, err
}

// whole is data without a last character that is cut short.
func whole(data []byte) []byte {
	for n := 1; n < utf8.UTFMax && n <= len(data); n++ {
		if tail := data[len(data)-n:]; utf8.RuneStart(tail[0]) {
			if !utf8.FullRune(tail) {
				return data[:len(data)-n]
			}
			break
		}
	}
	return data
}

// cleaner is a text as slurp makes it, read bit by bit: its bytes have one line
// end, and no NUL.
type cleaner struct {
	name  string
	r     io.Reader
	line  int // read whole
	total int
	cr    bool // the last byte was CR
}

func (c *cleaner) Read(p []byte) (int, error) {
	for {
		n, err := c.r.Read(p)
		c.total += n
		if c.total > MaxFast {
			return 0, sizeError(c.name, MaxFast)
		}
		out := 0
		for _, b := range p[:n] {
			after := c.cr
			c.cr = b == '\r'
			switch {
			case b == 0:
				return 0, nulError(c.name, c.line+1)
			case b == '\n' && after:
				continue
			case b == '\r':
				b = '\n'
			}
			if b == '\n' {
				c.line++
			}
			p[out] = b
			out++
		}
		if out > 0 || err != nil || len(p) == 0 {
			return out, err
		}
	}
}

// decoded is a text of an encoding, read bit by bit.
func decoded(r io.Reader, encoding string) io.Reader {
	switch encoding {
	case utf16Text:
		return transform.NewReader(r, unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder())
	case windowsText:
		return transform.NewReader(r, charmap.Windows1252.NewDecoder())
	}
	return transform.NewReader(r, unicode.UTF8BOM.NewDecoder()) // takes the mark off
}
