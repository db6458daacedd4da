package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"unicode/utf8"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/infile"
)

// MaxSize is the largest job file read, in bytes.
const MaxSize = 1 << 20

// Load reads the job at path, or from stdin when path is "-". Its error is a
// [fault.List] naming every fault.
func Load(path string, stdin io.Reader, names Names) (*Job, error) {
	if path == "-" {
		const name = "standard input"
		data, err := readAll(stdin)
		if err != nil {
			return nil, whole(name, "could not be read: "+fault.Plain(err))
		}
		return Parse(name, data, names)
	}
	f, err := infile.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, whole(path, "there is no such file; give the path of a job file")
	}
	if err != nil {
		return nil, whole(path, "could not be opened: "+fault.Plain(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, whole(path, "is a folder; give the path of a job file")
	}
	data, err := readAll(f)
	if err != nil {
		return nil, whole(path, "could not be read: "+fault.Plain(err))
	}
	return Parse(path, data, names)
}

// Parse reads a job from data; name is what faults call the file. Its error is
// a [fault.List] naming every fault in line order. data is not kept or changed.
func Parse(name string, data []byte, names Names) (*Job, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	switch {
	case len(data) > MaxSize:
		return nil, whole(name, fmt.Sprintf("is larger than %d KiB, which no job file is", MaxSize>>10))
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		return nil, whole(name, "is not UTF-8 text, so it is no job file; save it as plain UTF-8 text")
	case len(bytes.TrimSpace(data)) == 0:
		return nil, whole(name, "is empty; a job needs at least one [[layer]] and one [[coat]]")
	}
	d := &decoder{file: name, names: names}
	root := d.tree(data)
	j := d.job(root)
	if len(d.faults) > 0 {
		return nil, d.sorted()
	}
	return j, nil
}

func readAll(r io.Reader) ([]byte, error) {
	return io.ReadAll(io.LimitReader(r, MaxSize+1))
}

func whole(name, message string) fault.List {
	return fault.List{{File: name, Message: message, Expected: "a job file (TOML)"}}
}
