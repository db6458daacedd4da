package fetch

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// Decode reads body as one JSON value with nothing after it. A byte order mark before it is let pass.
// The error is a *[DecodeError] that says how far the answer is sound.
func Decode(body []byte, into any) error {
	body = bytes.TrimPrefix(body, []byte("\xef\xbb\xbf"))
	dec := json.NewDecoder(bytes.NewReader(body))
	err := dec.Decode(into)
	var (
		syntax *json.SyntaxError
		typ    *json.UnmarshalTypeError
		mine   *DecodeError
	)
	switch {
	case errors.Is(err, io.EOF):
		return &DecodeError{What: "it is empty"}
	case errors.Is(err, io.ErrUnexpectedEOF):
		return &DecodeError{What: fmt.Sprintf("it ends too soon, after %d bytes", len(body)), Cause: err}
	case errors.As(err, &syntax):
		return &DecodeError{What: fmt.Sprintf("it is no JSON from byte %d on", syntax.Offset), Cause: err}
	case errors.As(err, &typ):
		return &DecodeError{Where: typ.Field, What: fmt.Sprintf("expected another kind of value than %s", typ.Value), Cause: err}
	case errors.As(err, &mine):
		return mine
	case err != nil:
		return &DecodeError{What: err.Error()}
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return &DecodeError{What: fmt.Sprintf("something follows its end, at byte %d", dec.InputOffset())}
	}
	return nil
}

// Number is a number in an answer that may be missing, null, or written as a
// string. The zero Number is missing.
type Number struct {
	V  float64
	OK bool // there is one
}

// UnmarshalJSON reads a number, a number in quotes, or null; an empty string is
// null. Anything else is a *[DecodeError], NaN and infinities included.
func (n *Number) UnmarshalJSON(b []byte) error {
	*n = Number{}
	text := string(b)
	if text == "null" {
		return nil
	}
	if b[0] == '"' {
		if err := json.Unmarshal(b, &text); err != nil {
			return err
		}
		if text = strings.TrimSpace(text); text == "" {
			return nil
		}
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.ContainsAny(text, "xX_pP") {
		return &DecodeError{What: fmt.Sprintf("expected a number, found %s", printable(string(b), 40))}
	}
	*n = Number{v, true}
	return nil
}
