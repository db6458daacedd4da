package app

import (
	"context"
	"io"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/calendar"
	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/sheet"
	"limeday/cmd/internal/view"
)

// dayFiles are the files that today writes besides its answer.
type dayFiles struct{ outFiles } // sheet, picture, calendar

func addDayFiles(fs *pflag.FlagSet) *dayFiles {
	return &dayFiles{filesAt(fs,
		addText(fs, "sheet", "FILE.html", "write the answer as a page to print"),
		addText(fs, "picture", "FILE.svg", "write the drawing of the day"),
		addText(fs, "calendar", "FILE.ics", "write what is to be done, and when, as a calendar"),
	)}
}

// write writes the files that are asked for, all or none.
func (f *dayFiles) write(ctx context.Context, inv *invocation, d view.Day, p view.Printer) error {
	entries := calendar.OfDay(d, p, inv.Now())
	writers := []func(io.Writer) error{
		func(w io.Writer) error { return sheet.Write(w, d, p) },
		func(w io.Writer) error { return drawing.SVG(w, drawing.OfDay(d, p)) },
		func(w io.Writer) error { return calendar.Write(w, entries) },
	}
	told := ""
	if path, err := f.flags[2].Value(); err == nil && path != "" && len(entries.Events) == 0 {
		writers[2] = nil
		why := "no coat is due"
		if d.AllTheSame {
			why = "the day is a no-go"
			if !d.Ahead() {
				why = "today is a no-go"
			}
		}
		told = "No calendar: " + why + ", so there is nothing to enter; " + oneLine(path) + " is not written.\n"
	}
	if err := f.outFiles.write(ctx, inv, writers); err != nil {
		return err
	}
	return write(inv.Notes, told)
}
