package app

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/quantity"
	"limeday/drying"
)

// diaryWriteAnswer is of an entry written, of diary write and diary amend.
type diaryWriteAnswer struct {
	Schema string      `json:"schema"`
	File   string      `json:"file"`
	Entry  diary.Entry `json:"entry"`
}

var diaryActions = []string{"write", "list", "amend", "export", "check", "kinds"}

// manyArgs is more than anybody types.
const manyArgs = 200

func diaryCommand() *command {
	return &command{
		name:    "diary",
		args:    "write|list|amend|export|check|kinds FILE ...",
		maxArgs: manyArgs,
		words:   diaryActions,
		files:   true,
		then:    kindWords(),
		summary: "write, list, amend and export the record of a job",
		examples: []example{
			{"limeday diary write hall.diary reading temp=14C rh=72 wall_temp=11C", "one more entry; the file is made if there is none"},
			{"limeday diary write hall.diary event coat=1 what=laid --at 2026-04-14T09:10", "when it was so, if not now"},
			{"limeday diary list hall.diary", "every entry, with its number"},
			{"limeday diary amend hall.diary 3 rh=70", "entry 3 corrected; what it said stays in the file"},
			{"limeday diary amend hall.diary 3 --withdraw --note 'another wall'", "entry 3 taken back"},
			{"limeday diary export hall.diary --page hall.html --csv hall.csv", "the record to print, and for a spreadsheet"},
			{"limeday diary kinds reading", "what a reading can say; kinds alone lists every kind"},
		},
		notes: `
A diary is only ever added to: no entry is changed or removed, and each is on
the disk before the answer is given. Every line has a checksum. check names the
lines that were changed, taken out, put in or cut off, and exits with 3 if there
are any; list names them beside the entries that it can read. FILE can be -, for
standard input, where it is only read. In amend, name= takes a field out.`,
		setup: func(fs *pflag.FlagSet) runner {
			at := addText(fs, "at", "2026-04-14T06:30", "when it was so; else now")
			note := addText(fs, "note", "TEXT", "a note to the entry")
			withdraw := fs.Bool("withdraw", false, "amend: take the entry back")
			out := &outFiles{flags: []*textFlag{
				addText(fs, "csv", "FILE.csv", "export: a row for each entry, in SI units; - for standard output"),
				addText(fs, "page", "FILE.html", "export: the job's record as a page to print"),
			}, force: addForce(fs)}
			return func(ctx context.Context, inv *invocation) error {
				if len(inv.Args) == 0 {
					return usage("diary", strings.Join(diaryActions, ", "), "diary needs to be told what to do: %s", strings.Join(diaryActions, ", "))
				}
				act, args := inv.Args[0], inv.Args[1:]
				if !slices.Contains(diaryActions, act) {
					e := quantity.Unknown("action of diary", act, diaryActions)
					return usage(act, e.Expected, "%s", e.Reason)
				}
				if err := onlyFor(fs, act, map[string]string{"at": "write amend", "note": "write amend", "withdraw": "amend", "csv": "export", "page": "export", "force": "export"}); err != nil {
					return err
				}
				if act == "kinds" {
					return diaryKinds(inv, args)
				}
				if len(args) == 0 || args[0] == "" {
					return usage("FILE", "a file", "diary %s needs a file, such as diary %s hall.diary", act, act)
				}
				if act != "write" && act != "amend" && len(args) > 1 {
					return usage(args[1], "one file", "diary %s does not take %q; it takes one file", act, args[1])
				}
				w := diaryWriter{inv: inv, file: args[0], at: at, note: note}
				switch act {
				case "write":
					return w.write(args[1:])
				case "amend":
					return w.amend(args[1:], *withdraw)
				case "export":
					return diaryExport(ctx, inv, args[0], out)
				case "check":
					return diaryCheck(inv, args[0])
				}
				return diaryList(inv, args[0])
			}
		},
	}
}

// onlyFor refuses a flag that an action has no use for; flags gives the actions that each is for.
func onlyFor(fs *pflag.FlagSet, act string, flags map[string]string) error {
	var err error
	fs.Visit(func(f *pflag.Flag) {
		if of := strings.Fields(flags[f.Name]); err == nil && len(of) > 0 && !slices.Contains(of, act) {
			err = usage("--"+f.Name, strings.Join(of, " or "), "--%s goes with %s, not with %s; leave it out", f.Name, strings.Join(of, " or "), act)
		}
	})
	return err
}

func kindWords() []string {
	var words []string
	for _, f := range diary.Kinds() {
		if f.Kind != diary.Withdrawal {
			words = append(words, string(f.Kind))
		}
	}
	return words
}

// knownKind refuses a word that is no kind of entry, nearest first.
func knownKind(word string) error {
	if slices.Contains(kindWords(), word) {
		return nil
	}
	e := quantity.Unknown("kind of entry", word, kindWords())
	return usage(word, e.Expected, "%s", e.Reason)
}

// diaryWriter adds entries from the command line.
type diaryWriter struct {
	inv      *invocation
	file     string
	at, note *textFlag
}

// write adds an entry: args are its kind and name=value.
func (w diaryWriter) write(args []string) error {
	if len(args) == 0 {
		return usage("KIND", strings.Join(kindWords(), ", "), "diary write needs the kind of entry: %s", strings.Join(kindWords(), ", "))
	}
	if err := knownKind(args[0]); err != nil {
		return err
	}
	return w.add(diary.Entry{Kind: diary.Kind(args[0])}, args[1:])
}

// amend adds an entry that says all that the one it amends now says.
func (w diaryWriter) amend(args []string, withdraw bool) error {
	if len(args) == 0 {
		return usage("N", "the number of an entry", "diary amend needs the number of the entry, such as diary amend %s 3", w.file)
	}
	n, err := strconv.Atoi(args[0])
	if err != nil || n < 1 {
		return usage(args[0], "the number of an entry", "%q is not the number of an entry; diary list shows the numbers", args[0])
	}
	entries, _, err := diary.Read(w.file)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(entries, func(e diary.Entry) bool { return e.N == n })
	if i < 0 {
		return usage(args[0], "the number of an entry", "%s has no entry %d that can be read; diary list shows the numbers", w.file, n)
	}
	history := diary.Follow(entries)
	if by := history.Withdrawn[n]; by != 0 {
		return usage(args[0], "an entry that stands", "entry %d was withdrawn by entry %d; withdraw that one to have it back", n, by)
	}
	if withdraw {
		if len(args) > 1 {
			return usage(args[1], "--withdraw alone", "--withdraw takes the whole entry back; leave %q out", args[1])
		}
		return w.add(diary.Entry{Kind: diary.Withdrawal, Amends: n}, nil)
	}
	if entries[i].Kind == diary.Withdrawal {
		return usage(args[0], "--withdraw", "entry %d is a withdrawal; it cannot be amended, only withdrawn with --withdraw", n)
	}
	if len(args) == 1 && !w.at.set && !w.note.set {
		return usage("name=value", "name=value, --at, --note or --withdraw", "diary amend needs what is to change: name=value, --at, --note or --withdraw")
	}
	now := diary.Entry{Kind: entries[i].Kind}
	for _, e := range entries {
		if e.N == history.Latest[history.Root[n]] {
			now.At, now.Note, now.Data = e.At, e.Note, e.Data
		}
	}
	now.Amends = n
	return w.add(now, args[1:])
}

// add fills e from the flags and from pairs, name=value, and appends it.
func (w diaryWriter) add(e diary.Entry, pairs []string) error {
	if w.file == "-" {
		return usage(w.file, "a file", "a diary is kept in a file: give its name, such as hall.diary")
	}
	if text, err := w.at.Value(); err != nil {
		return err
	} else if text != "" {
		if e.At, err = past(w.inv, "--at", text); err != nil {
			return err
		}
	}
	if text, err := w.note.Value(); err != nil {
		return err
	} else if text != "" {
		e.Note = text
	}
	if e.At.IsZero() {
		e.At = w.inv.Now()
	}
	if err := fill(w.inv, &e, pairs); err != nil {
		return err
	}
	if err := diary.Check(e); err != nil {
		return err
	}
	if err := possible(e, w.file, w.inv.Units()); err != nil {
		return err
	}
	b, err := diary.Open(w.file, w.inv.Now)
	if err != nil {
		return err
	}
	if e, err = b.Append(e); err != nil {
		return err
	}
	return w.inv.Answer(diaryWriteAnswer{"limeday.diary-write/1", w.file, e}, func() string {
		said := wrap("", fmt.Sprintf("%s: entry %d, %s: %s", w.file, e.N, together(e.At.Format(entryStamp)), saysInLine(e, w.inv.Units())))
		return said + hint(e)
	})
}

const entryStamp = "Mon 2 Jan 2006, 15:04 -07:00"

// past reads a moment that is not still to come.
func past(inv *invocation, where, text string) (time.Time, error) {
	now := inv.Now()
	t, err := intake.Moment(where, text, now.Location())
	if err != nil {
		return t, err
	}
	if t.After(now) {
		return t, usage(where, "a moment that has been", "%s: %s is still to come (it is %s); a diary holds what has been", where, text, now.Format(entryStamp))
	}
	return t, nil
}

// fill sets the fields of e from pairs, name=value; name= takes a field out. - and _ in a name are the same.
func fill(inv *invocation, e *diary.Entry, pairs []string) error {
	form, _ := diary.FormOf(e.Kind)
	data := map[string]any{}
	for name, v := range e.Data {
		data[name] = v
	}
	seen := map[string]bool{}
	for _, pair := range pairs {
		name, text, ok := strings.Cut(pair, "=")
		if !ok {
			return usage(pair, "name=value", "%q is not name=value, such as temp=14C; diary kinds %s lists the names", pair, e.Kind)
		}
		name = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(name)), "-", "_")
		if seen[name] {
			return usage(name, "each name once", "%s is given twice; give it once", name)
		}
		seen[name] = true
		if name == "note" {
			e.Note = text
			continue
		}
		f, known := form.Field(name)
		if !known {
			return diary.UnknownField(form, name)
		}
		if text == "" && e.Amends != 0 {
			delete(data, name)
			continue
		}
		v, err := f.Parse(text, inv.Units(), func(s string) (time.Time, error) { return intake.Moment(name, s, inv.Now().Location()) })
		if err != nil {
			return err
		}
		data[name] = v
	}
	e.Data = data
	return nil
}

// possible refuses a board that cannot be, and what cannot be of a board beside the rest of the diary at path.
func possible(e diary.Entry, path string, u quantity.Units) error {
	_, ofBoard := e.Number("board")
	switch {
	case e.Kind == diary.Board:
		return possibleBoard(e, u)
	case !ofBoard:
		return nil
	}
	entries, _, err := diary.Read(path)
	if err != nil {
		return err
	}
	if e.Amends != 0 { // it is checked against the others
		root := diary.Follow(entries).Root[e.Amends]
		entries = append(entries, diary.Entry{Kind: diary.Withdrawal, N: math.MaxInt, Amends: root})
	}
	s, err := sampleOf(path, entries, e)
	if err != nil {
		return err
	}
	return s.Check(e)
}

// hint is what goes with an entry of its kind; empty for most.
func hint(e diary.Entry) string {
	switch e.Kind {
	case diary.Tint, diary.Match, diary.Board:
		return wrap("", drying.JudgeDry())
	case diary.TubWeight:
		if e.Text("finish") == "" {
			return wrap("", "Give the finish, as in finish=polished-lime, and the thickness is worked out too.")
		}
	}
	return ""
}

// nameOf is what a file is called.
func nameOf(path string) string {
	if path == "-" {
		return "standard input"
	}
	return path
}

// readDiary reads a diary, or standard input for -.
func readDiary(inv *invocation, path string) ([]diary.Entry, fault.List, error) {
	if path != "-" {
		return diary.Read(path)
	}
	name := nameOf(path)
	data, err := io.ReadAll(io.LimitReader(inv.Stdin, diary.MaxSize+1))
	if err != nil {
		return nil, nil, fault.List{{File: name, Message: "could not be read: " + fault.Plain(err), Expected: "a diary"}}
	}
	return diary.Parse(name, data)
}
