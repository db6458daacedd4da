package logfile

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// MaxSize is the largest file read, in bytes: a year of a reading a minute.
const MaxSize = 32 << 20

// The encodings.
const (
	utf8Text    = "UTF-8"
	utf16Text   = "UTF-16"
	windowsText = "Windows-1252"
)

// slurp reads all of r as text with lone LF line ends, and names its encoding.
func slurp(name string, r io.Reader) (content, encoding string, err error) {
	refuse := func(message, want string) error {
		return &Error{At: At{File: name}, Message: message, Want: want}
	}
	data, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	switch {
	case err != nil:
		return "", "", fmt.Errorf("%s: %w", name, err)
	case len(data) > MaxSize:
		return "", "", refuse(fmt.Sprintf("is larger than %d MiB", MaxSize>>20), "the readings of the last weeks")
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return "", "", refuse("is a workbook or a zip archive", "its sheet, saved as CSV")
	}
	content, encoding, err = decode(data)
	if err != nil {
		return "", "", fmt.Errorf("%s: %w", name, err)
	}
	if i := strings.IndexByte(content, 0); i >= 0 {
		return "", "", &Error{At: At{File: name, Line: 1 + strings.Count(content[:i], "\n")},
			Message: "holds NUL bytes: it is UTF-16 without its byte order mark, or no text", Want: "CSV saved as UTF-8"}
	}
	content = strings.ReplaceAll(content, "\r\n", "\n")
	return strings.ReplaceAll(content, "\r", "\n"), encoding, nil
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
	case utf8.Valid(data):
		return string(data), utf8Text, nil
	}
	data, err = charmap.Windows1252.NewDecoder().Bytes(data)
	return string(data), windowsText, err
}
