package diary

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/infile"
)

// MaxSize is the largest diary read, in bytes: some hundred thousand entries.
const MaxSize = 64 << 20

// Read reads the diary at path. The entries are those that can be trusted, in the order of the file; faults name
// every line that cannot, in line order. err is a [fault.List] of one, where the file cannot be read at all. A file
// that is being written is waited for a little.
func Read(path string) (entries []Entry, faults fault.List, err error) {
	f, err := (&Book{path: path, disk: realDisk{}, wait: wait}).lock(os.O_RDONLY)
	if errors.Is(err, errLocked) || errors.Is(err, errors.ErrUnsupported) {
		f, err = infile.Open(path) // better read while another writes than not at all
	}
	if err != nil {
		return nil, nil, fault.List{{File: path, Message: unreadable(err), Expected: "a diary"}}
	}
	defer f.Close()
	data, err := whole(path, f)
	if err != nil {
		return nil, nil, fault.List{{File: path, Message: unreadable(err), Expected: "a diary"}}
	}
	return Parse(path, data)
}

// whole reads a file, unless it is too large.
func whole(path string, f file) ([]byte, error) {
	large := &FileError{Path: path, Message: fmt.Sprintf("is larger than %d MiB, which no diary is; begin a new one", MaxSize>>20), NoDiary: true}
	if info, err := f.Stat(); err == nil && info.Mode().IsRegular() && info.Size() > MaxSize {
		return nil, large
	}
	data, err := infile.All(f, MaxSize)
	var size *infile.SizeError
	if errors.As(err, &size) {
		return nil, large
	}
	return data, err
}

// unreadable is a sentence without the path, which stands before it.
func unreadable(err error) string {
	var told *FileError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file; give the path of a diary"
	case errors.As(err, &told):
		return told.Message
	}
	return "could not be read: " + fault.Plain(err)
}

// Parse reads a diary from data as [Read] does; name is what faults call the file. data is not kept or changed.
func Parse(name string, data []byte) ([]Entry, fault.List, error) {
	if len(data) > MaxSize {
		return nil, nil, fault.List{{File: name, Message: fmt.Sprintf("is larger than %d MiB, which no diary is", MaxSize>>20), Expected: "a diary"}}
	}
	r := scan(name, data)
	if r.foreign() {
		return nil, nil, fault.List{{File: name, Message: notDiary, Expected: "a diary"}}
	}
	return r.entries, r.faults, nil
}

const notDiary = "is no diary: no line of it is an entry; give the path of a diary, or of a file that does not exist yet"

// record is what a file holds, and where the next entry goes on.
type record struct {
	entries []Entry
	faults  fault.List

	sum      string // of the last line that has one
	last     int    // the highest number that any line states
	ended    bool   // the last line has its end
	lines    int    // that are not blank
	cutLines int    // of these, lines that began as an entry and were cut off
}

// foreign tells that a file holds something, and no trace of a diary.
func (r *record) foreign() bool { return r.sum == "" && r.lines > r.cutLines }

// cutOff tells of a line that is no entry whether it began as one. A disk that lost power can leave zeros.
func cutOff(text []byte) bool {
	text = bytes.TrimRight(text, "\x00")
	n := min(len(text), len(lineStart))
	return string(text[:n]) == lineStart[:n]
}

func scan(name string, data []byte) *record {
	r := &record{ended: len(data) == 0 || data[len(data)-1] == '\n'}
	seen := map[int]bool{}
	good, damaged := 0, 0 // number of the last line in place; lines after it that cannot be read
	for number, rest := 1, bytes.TrimPrefix(data, []byte("\ufeff")); len(rest) > 0; number++ {
		text, more, found := bytes.Cut(rest, []byte("\n"))
		rest = more
		text = bytes.TrimSuffix(text, []byte("\r"))
		if len(bytes.TrimSpace(text)) == 0 {
			continue
		}
		blame := func(format string, args ...any) {
			r.faults = append(r.faults, fault.Fault{File: name, Line: number, Message: fmt.Sprintf(format, args...), Expected: "an entry as it was written"})
		}
		r.lines++
		l := decode(text)
		before := r.sum
		r.last = max(r.last, l.n)
		switch {
		case !l.whole && (l.sum != "" || cutOff(text) && bytes.HasSuffix(text, []byte(sumEnd))):
			blame("this line was changed after it was written, as its checksum shows; it is passed over")
			if l.sum != "" {
				r.sum = l.sum
			}
			damaged++
			continue
		case !l.whole && cutOff(text):
			r.cutLines++
			blame("this line was cut off while it was written and holds no whole entry; it is passed over")
			damaged++
			continue
		case !l.whole:
			blame("this line is no entry of a diary, and is passed over")
			damaged++
			continue
		case seen[l.n]:
			blame("entry %d stands here a second time; the first counts", l.n)
			continue
		}
		seen[l.n] = true
		r.entries = append(r.entries, l.entry)
		if !found {
			blame("the end of this line is missing, as its writing was cut off or an editor took it; its entry is whole and counts")
		}
		if l.n < good {
			blame("entry %d stands out of its place, after entry %d", l.n, good)
			continue
		}
		if missing := l.n - good - 1; l.follows != before && (damaged == 0 || missing > damaged) {
			switch {
			case missing == 0:
				blame("entry %d does not follow the line before it: something was changed, put in or taken out there", l.n)
			case missing == 1:
				blame("entry %d, which stood before this line, is missing", l.n-1)
			default:
				blame("entries %d to %d, which stood before this line, are missing", good+1, l.n-1)
			}
		}
		r.sum, good, damaged = l.sum, l.n, 0
	}
	return r
}
