package app

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/infile"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/near"
	"limeday/drying"
	"limeday/weather"
)

// seasonSite is one of many places that a season is worked out for.
type seasonSite struct {
	Name     string
	Lat, Lon float64
	Altitude float64
	Zone     *time.Location
	Weather  []string // files; none: from the service
	Line     int
}

// siteColumns are those of a list of sites; the last three may be left out.
var siteColumns = []string{"name", "lat", "lon", "altitude", "zone", "weather"}

// maxSites is the longest list of sites read, in bytes, and maxSiteFaults how many of its faults are told.
const (
	maxSites      = 4 << 20
	maxSiteFaults = 100
)

// readSites reads a list of sites: CSV with a header. name is the file's. The error is a fault.List with its first faults.
func readSites(name string, r io.Reader) ([]seasonSite, error) {
	data, err := infile.All(r, maxSites)
	if err != nil {
		return nil, fault.List{{File: name, Message: "could not be read: " + fault.Plain(err), Expected: "a list of sites"}}
	}
	c := csv.NewReader(bytes.NewReader(data))
	c.FieldsPerRecord = -1
	c.TrimLeadingSpace = true
	var faults fault.List
	bad := func(line int, expected, format string, a ...any) {
		faults = append(faults, fault.Fault{File: name, Line: line, Message: fmt.Sprintf(format, a...), Expected: expected})
	}
	const header = "a header with name, lat, lon and, if you like, altitude, zone, weather"
	head, err := c.Read()
	if err != nil {
		bad(1, header, "there is no header; give %s", header)
		return nil, faults
	}
	at := map[string]int{}
	for i, h := range head {
		h = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")))
		switch _, twice := at[h]; {
		case !slices.Contains(siteColumns, h):
			say := "unknown column %q; known: %s"
			if best, ok := near.Best(h, siteColumns); ok {
				say = "unknown column %q; did you mean " + best + "? Known: %s"
			}
			bad(1, header, say, h, strings.Join(siteColumns, ", "))
		case twice:
			bad(1, header, "the column %s is there twice", h)
		}
		at[h] = i
	}
	for _, must := range siteColumns[:3] {
		if _, ok := at[must]; !ok {
			bad(1, header, "there is no column %s; give %s", must, header)
		}
	}
	if len(faults) > 0 {
		return nil, faults
	}
	var out []seasonSite
	seen := map[string]int{}
	for len(faults) < maxSiteFaults {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			line := 0
			var p *csv.ParseError
			if errors.As(err, &p) {
				line = p.StartLine
			}
			bad(line, "CSV", "it cannot be read as CSV: %v", err)
			break
		}
		line, _ := c.FieldPos(0)
		get := func(col string) string {
			if i, ok := at[col]; ok && i < len(row) {
				return strings.TrimSpace(row[i])
			}
			return ""
		}
		s := seasonSite{Name: get("name"), Line: line, Zone: time.UTC}
		number := func(col, want string, low, high float64) float64 {
			x, err := strconv.ParseFloat(get(col), 64)
			if err != nil || !(x >= low && x <= high) {
				bad(line, want, "%s is %q; give %s", col, get(col), want)
			}
			return x
		}
		s.Lat = number("lat", "degrees from -90 to 90, north positive", -90, 90)
		s.Lon = number("lon", "degrees from -180 to 180, east positive", -180, 180)
		if get("altitude") != "" {
			s.Altitude = number("altitude", "metres above the sea, -450 to 9000", -450, 9000)
		}
		if z := get("zone"); z != "" {
			if s.Zone, err = time.LoadLocation(z); err != nil || z == "Local" {
				bad(line, "an IANA time zone", "zone is %q; give its IANA name, such as Europe/Dublin", z)
			}
		}
		for _, f := range strings.Split(get("weather"), ";") {
			if f = strings.TrimSpace(f); f != "" {
				s.Weather = append(s.Weather, f)
			}
		}
		switch first, twice := seen[s.Name]; {
		case s.Name == "":
			bad(line, "a name", "the site has no name; its result is found by it")
		case twice:
			bad(line, "a name of its own", "%s is the name of the site in line %d too; give each its own", s.Name, first)
		}
		seen[s.Name] = line
		out = append(out, s)
	}
	if len(faults) == 0 && len(out) == 0 {
		bad(0, "a row for each site", "there is no site in it")
	}
	if len(faults) > 0 {
		return nil, faults
	}
	return out, nil
}

// shardOf keeps the sites of shard i of n, both from 1: every n-th, so that shards of a list sorted by place are alike.
func shardOf(sites []seasonSite, i, n int) []seasonSite {
	var out []seasonSite
	for k, s := range sites {
		if k%n == i-1 {
			out = append(out, s)
		}
	}
	return out
}

// parseShard reads I/N.
func parseShard(text string) (i, n int, err error) {
	a, b, ok := strings.Cut(text, "/")
	i, erri := strconv.Atoi(strings.TrimSpace(a))
	n, errn := strconv.Atoi(strings.TrimSpace(b))
	if !ok || erri != nil || errn != nil || n < 1 || n > 1_000_000 || i < 1 || i > n {
		return 0, 0, usage("--shard", "I/N, with I from 1 to N", "--shard is %q; give it as I/N, such as 3/20 for the third of twenty", text)
	}
	return i, n, nil
}

// siteDone is the part of a result line by which it is known.
type siteDone struct {
	Schema string `json:"schema"`
	Site   string `json:"site"`
	Model  string `json:"model"` // its fingerprint
}

// siteLine is what a line of results is read for.
type siteLine struct {
	siteDone
	Error *string `json:"error"`
}

const siteSchema = "limeday.season-site/1"

// maxResult is the longest line of results read, in bytes.
const maxResult = 16 << 20

// doneSites are the names of the sites that a results file has an answer for, by this model. A site that had none is tried
// again, and its last line counts; one that was cut off counts for nothing: cut tells that there is one.
func doneSites(path string) (done map[string]bool, cut bool, err error) {
	done = map[string]bool{}
	f, err := infile.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		return done, false, nil
	}
	unread := func(err error) error {
		return &Error{Exit: ExitFailure, Where: path, Expected: "a file of results", Message: path + ": could not be read: " + fault.Plain(err), Err: err}
	}
	if err != nil {
		return nil, false, unread(err)
	}
	defer f.Close()
	sc := bufio.NewScanner(f)
	sc.Buffer(nil, maxResult)
	sc.Split(func(data []byte, atEOF bool) (int, []byte, error) {
		n, text, err := bufio.ScanLines(data, atEOF)
		if n > 0 {
			cut = data[n-1] != '\n'
		}
		return n, text, err
	})
	line := 0
	for sc.Scan() {
		line++
		var d siteLine
		text := bytes.TrimSpace(sc.Bytes())
		if len(text) == 0 {
			continue
		}
		if json.Unmarshal(text, &d) != nil || d.Schema != siteSchema {
			if line == 1 && !bytes.HasPrefix(text, []byte("{")) {
				return nil, false, &Error{Exit: ExitBadInput, Where: path + ":1", Expected: "a file of results, or a new one", Message: path + ":1: this is no result of a site; give another file"}
			}
			continue // cut off in writing: worked out again
		}
		done[d.Site] = d.Error == nil && d.Model == drying.Fingerprint
	}
	switch err := sc.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return nil, false, &Error{Exit: ExitBadInput, Where: fmt.Sprintf("%s:%d", path, line+1), Expected: "a file of results, or a new one", Err: err,
			Message: fmt.Sprintf("%s:%d: this line is longer than %s, which no result is; give another file", path, line+1, infile.Size(maxResult))}
	case err != nil:
		return nil, false, unread(err)
	}
	return done, cut, nil
}

// eachSite works the sites out that path has no result of, one after the other, and adds a line for each, on the disk before the
// next is begun. A site that cannot be worked out gets a line that says why.
func eachSite(ctx context.Context, sites []seasonSite, path string, tell func(string), work func(seasonSite) (any, error)) (worked, skipped, failed int, err error) {
	done, cut, err := doneSites(path)
	if err != nil {
		return 0, 0, 0, err
	}
	f, err := os.OpenFile(path, os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o666)
	if err != nil {
		return 0, 0, 0, &Error{Exit: ExitFailure, Where: path, Expected: "a file that can be written", Message: path + ": cannot be written: " + fault.Plain(err), Err: err}
	}
	defer f.Close()
	put := func(line []byte) error {
		if cut { // what was cut off stays, on a line of its own
			line, cut = append([]byte("\n"), line...), false
		}
		if _, err := f.Write(append(line, '\n')); err != nil {
			return &Error{Exit: ExitFailure, Where: path, Expected: "room on the disk", Message: path + ": cannot be written: " + fault.Plain(err) + "; what is in it stays", Err: err}
		}
		return f.Sync()
	}
	for i, s := range sites {
		if done[s.Name] {
			skipped++
			continue
		}
		if ctx.Err() != nil {
			return worked, skipped, failed, ctx.Err()
		}
		tell(fmt.Sprintf("%s, %d of %d", s.Name, i+1, len(sites)))
		answer, werr := work(s)
		if ctx.Err() != nil {
			return worked, skipped, failed, ctx.Err()
		}
		line := struct {
			siteDone
			Lat    float64 `json:"lat"`
			Lon    float64 `json:"lon"`
			Error  *string `json:"error"`
			Season any     `json:"season"`
		}{siteDone: siteDone{siteSchema, s.Name, drying.Fingerprint}, Lat: s.Lat, Lon: s.Lon, Season: answer}
		if werr != nil {
			e, _ := told(werr)
			line.Error, line.Season = &e.Message, nil
			failed++
		} else {
			worked++
		}
		data, merr := json.Marshal(line)
		if merr != nil {
			return worked, skipped, failed, merr
		}
		if err := put(data); err != nil {
			return worked, skipped, failed, err
		}
	}
	return worked, skipped, failed, nil
}

// many works the season out for every site of a list instead of the job's place; done tells that this was asked for.
func (f *seasonFlags) many(ctx context.Context, inv *invocation, j *job.Job, d drying.Job, q seasonQuestion) (done bool, err error) {
	var list, shard, results string
	for _, x := range []struct {
		flag *textFlag
		to   *string
	}{{f.sites, &list}, {f.shard, &shard}, {f.results, &results}} {
		if *x.to, err = x.flag.Value(); err != nil {
			return false, err
		}
	}
	switch {
	case list == "" && (shard != "" || results != ""):
		return false, usage("--sites", "a list of sites", "--shard and --results go with --sites; give a list of sites, or leave them out")
	case list == "":
		return false, nil
	case results == "":
		return true, usage("--results", "a file", "--sites needs a file for its results: give --results, such as --results season.jsonl")
	case list == "-" && inv.Args[0] == "-":
		return true, usage("--sites", "one of the two", "the job and the sites cannot both come from standard input; give one as a file")
	}
	in, name := inv.Stdin, "standard input"
	if list != "-" {
		name = list
		file, err := infile.Open(list)
		if err != nil {
			return true, intake.Unreadable(list, err)
		}
		defer file.Close()
		in = file
	}
	sites, err := readSites(name, in)
	if err != nil {
		return true, err
	}
	if shard != "" {
		i, n, err := parseShard(shard)
		if err != nil {
			return true, err
		}
		sites = shardOf(sites, i, n)
	}
	tell := func(s string) { fmt.Fprintln(inv.Notes, s) }
	worked, skipped, failed, err := eachSite(ctx, sites, results, tell, func(s seasonSite) (any, error) {
		here, at := d, q
		here.Place = weather.Place{Name: s.Name, Lat: s.Lat, Lon: s.Lon, Altitude: s.Altitude}
		here.Zone = s.Zone
		if len(s.Weather) > 0 {
			at.weather = s.Weather
		}
		jobs, _ := intake.Walls(j, here)
		years, err := inv.seasonYears(ctx, j, here, at)
		if err != nil {
			return nil, err
		}
		if years.Span = at.counted(years.Span); len(years.Span) == 0 {
			return nil, errors.New("none of the years of --years is in the weather")
		}
		r, err := inv.workSeason(ctx, jobs, years, at.starts, nil)
		if err != nil {
			return nil, err
		}
		return answerSeason(r), nil
	})
	if err != nil {
		return true, err
	}
	a := sitesAnswer{"limeday.season-sites/1", results, worked, skipped, failed}
	return true, inv.Answer(a, func() string {
		return wrap("", fmt.Sprintf("%s: %s worked out, %d there already, %d without an answer (their lines say why).", results, plural(worked, "site"), skipped, failed))
	})
}

// sitesAnswer is what a run over many sites has done.
type sitesAnswer struct {
	Schema  string `json:"schema"`
	Results string `json:"results"`
	Worked  int    `json:"worked"`
	Skipped int    `json:"skipped"`
	Failed  int    `json:"failed"`
}
