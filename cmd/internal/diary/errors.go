package diary

// EntryError refuses an entry that was to be written.
type EntryError struct {
	Field    string // its name; empty where the whole entry is meant
	Message  string // one sentence
	Expected string // what would have been accepted; may be empty
}

func (e *EntryError) Error() string {
	if e.Field == "" {
		return e.Message
	}
	return e.Field + ": " + e.Message
}

// FileError says why an entry was not added to a file. What was in the file is whole.
type FileError struct {
	Path    string
	Message string // one sentence
	NoDiary bool   // the path is no diary and cannot be made one
	Err     error  // cause; may be nil
}

func (e *FileError) Error() string { return e.Path + ": " + e.Message }

// Unwrap gives the cause.
func (e *FileError) Unwrap() error { return e.Err }
