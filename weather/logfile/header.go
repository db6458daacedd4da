package logfile

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// kind is what a column holds, by its name.
type kind uint8

const (
	other  kind = iota
	moment      // date and time of day
	day         // date
	clock       // time of day
	temperature
	humidity
	dewPoint
)

// Words of column names in English, German, French, Spanish, Italian and
// Dutch, lower case and without accents; from memory.
var (
	momentWords = []string{"datetime", "timestamp", "zeitstempel", "zeitpunkt", "messzeitpunkt", "horodatage", "tijdstip", "unix", "epoch", "unixtime"}
	dayWords    = []string{"date", "datum", "fecha", "data", "jour", "tag"}
	clockWords  = []string{"time", "zeit", "uhrzeit", "messzeit", "heure", "temps", "hora", "ora", "orario", "tempo", "tijd"}
	notTimes    = []string{"elapsed", "duration", "runtime"}
	tempWords   = []string{"temp", "tmp", "tair", "tempc", "tempf", "tempk", "drybulb"}
	rhWords     = []string{"rh", "hum", "hr", "rf", "rv"}
	rhParts     = []string{"humid", "feucht", "humed", "umidit", "vochtig", "r.h.", "h.r.", "r.f."}
	dewParts    = []string{"dew", "taupunkt", "rosee", "rocio", "rugiada", "dauwpunt"}
	notAir      = []string{"wet bulb", "wetbulb", "wet-bulb", "feuchtkugel", "feuchttemp", "bulbe humide", "bulbo umido", "bulbo humedo",
		"absolut", "absolue", "assolut", "g/m", "g/kg"}
)

// plain is a name in lower case without the accents of those languages.
func plain(name string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case 'á', 'à', 'â', 'ä':
			return 'a'
		case 'é', 'è', 'ê', 'ë':
			return 'e'
		case 'í', 'ì', 'î', 'ï':
			return 'i'
		case 'ó', 'ò', 'ô', 'ö':
			return 'o'
		case 'ú', 'ù', 'û', 'ü':
			return 'u'
		case 0xa0, 0x202f, '\n':
			return ' '
		}
		return r
	}, strings.ToLower(name))
}

// kindOf reads a column's name.
func kindOf(name string) kind {
	s := plain(name)
	words := strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
	has := func(list []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(list, w) })
	}
	part := func(list []string) bool {
		return slices.ContainsFunc(list, func(p string) bool { return strings.Contains(s, p) })
	}
	unit, _ := tempUnitOf(name)
	switch {
	case part(notAir):
		return other
	case part(dewParts):
		return dewPoint
	case unit == "" && (part(rhParts) || has(rhWords)):
		return humidity
	case strings.Contains(s, "temperatu"), has(tempWords), unit != "" && has([]string{"t", "ta"}), s == "t":
		return temperature
	case has(notTimes):
		return other
	case has(momentWords), has(dayWords) && has(clockWords):
		return moment
	case has(clockWords):
		return clock
	case has(dayWords):
		return day
	}
	return other
}

// Spellings of a unit of temperature in a name: behind a degree sign or what
// stands for one, in brackets, behind a comma, an underscore or the word temperature at the end, as
// a word, and UCUM's Cel and [degF] (ucum-essence.xml).
var tempUnits = []*regexp.Regexp{
	regexp.MustCompile(`(?i)(?:[°º˚*\x{fffd}]|\bdeg(?:rees?)?\.?)\s*([CFK])(?:[^a-z]|$)`),
	regexp.MustCompile(`(?i)[(\[]\s*([CFK])\s*[)\]]`),
	regexp.MustCompile(`(?i)[,_]\s*([CFK])\s*$`),
	regexp.MustCompile(`(?i)\btemp([CFK])\b`),
	regexp.MustCompile(`(?i)temp[a-zé]*\.?\s+([CFK])\s*$`),
	regexp.MustCompile(`(?i)([CFK])(?:elsius|ahrenheit|elvin)\b`),
	regexp.MustCompile(`([℃℉])`),
	regexp.MustCompile(`\b(C)el\b`),
}

// tempUnitOf is the unit of temperature that a name states; both is true if it
// states two.
func tempUnitOf(name string) (unit TempUnit, both bool) {
	for _, re := range tempUnits {
		for _, m := range re.FindAllStringSubmatch(name, -1) {
			u := TempUnit(strings.ToUpper(m[1]))
			switch u {
			case "℃":
				u = Celsius
			case "℉":
				u = Fahrenheit
			}
			both = both || unit != "" && unit != u
			unit = u
		}
	}
	return unit, both
}

// isPercent reports whether a name states percent.
func isPercent(name string) bool {
	s := plain(name)
	return slices.ContainsFunc([]string{"%", "percent", "prozent", "pct"}, func(p string) bool { return strings.Contains(s, p) })
}

// columns are where things stand, counted from 0; -1 is nowhere.
type columns struct {
	names                       []string
	line                        int // of the header
	moment, clock               int // clock is -1 unless date and time are two columns
	temp, rh, dew               int
	timeName, tempName, rhNamed string // as the decisions call them
}

// need is how many cells a row must have for its readings.
func (c columns) need() int { return max(c.temp, c.rh, c.moment, c.clock) + 1 }

// find looks the columns up in a header row. ok is false if the row is no
// header; an error says that it is one, and what about it is not clear.
func find(at At, cells []string, o Options) (c columns, ok bool, err error) {
	c = columns{names: make([]string, len(cells)), line: at.Line, moment: -1, clock: -1, temp: -1, rh: -1, dew: -1}
	by := map[kind][]int{}
	for i, cell := range cells {
		c.names[i] = strings.Join(strings.Fields(cell), " ")
		k := kindOf(cell)
		by[k] = append(by[k], i)
	}
	times := slices.Concat(by[moment], by[day], by[clock])
	pinned := 0 // pins that name a column of this row
	pick := func(opt Option, pin string, found []int) (int, error) {
		if pin != "" {
			i := c.index(pin)
			if i < 0 {
				return -1, &PinError{At: At{File: at.File, Line: at.Line}, Option: opt, Pinned: pin,
					Found: "the header has " + quoted(c.names)}
			}
			pinned++
			return i, nil
		}
		switch len(found) {
		case 0:
			return -1, nil
		case 1:
			return found[0], nil
		}
		return -1, &AmbiguityError{At: At{File: at.File, Line: at.Line}, What: "which column to read",
			Ways: [2]string{strconv.Quote(c.names[found[0]]), strconv.Quote(c.names[found[1]])}, Option: opt}
	}
	var errs [4]error
	c.temp, errs[1] = pick(OptTempColumn, o.TempColumn, by[temperature])
	c.rh, errs[2] = pick(OptHumidityColumn, o.HumidityColumn, by[humidity])
	first, second, two := strings.Cut(o.TimeColumn, " + ")
	switch {
	case two && c.index(o.TimeColumn) < 0:
		c.moment, errs[0] = pick(OptTimeColumn, first, nil)
		c.clock, errs[3] = pick(OptTimeColumn, second, nil)
	case o.TimeColumn != "" || len(by[moment]) > 0:
		c.moment, errs[0] = pick(OptTimeColumn, o.TimeColumn, by[moment])
	case len(by[day]) == 1 && len(by[clock]) == 1:
		c.moment, c.clock = by[day][0], by[clock][0]
	default:
		c.moment, errs[0] = pick(OptTimeColumn, "", times)
	}
	if len(by[dewPoint]) == 1 {
		c.dew = by[dewPoint][0]
	}
	// A header names all three, or as many as are not pinned. Two pins or more
	// that are there make a header of a row whose other names say nothing.
	known := 0
	for _, b := range []bool{len(times) > 0 || c.moment >= 0, len(by[temperature]) > 0 || c.temp >= 0, len(by[humidity]) > 0 || c.rh >= 0} {
		if b {
			known++
		}
	}
	if known < 3 || len(cells) < 3 {
		return c, false, nil
	}
	if c.temp >= 0 && strings.ContainsAny(cells[c.temp], "0123456789") && kindOf(cells[c.temp]) == other && o.TempColumn != cells[c.temp] {
		return c, false, nil // a number under a pinned column is a reading
	}
	for _, err := range errs {
		if err != nil {
			return c, true, err
		}
	}
	if c.temp == c.rh || c.temp == c.moment || c.rh == c.moment || c.clock == c.moment {
		return c, pinned > 0, &Error{At: At{File: at.File, Line: at.Line}, Message: "one column cannot be two things",
			Want: "a time, a temperature and a humidity column of their own"}
	}
	c.timeName, c.tempName, c.rhNamed = c.call(c.moment), c.call(c.temp), c.call(c.rh)
	if c.clock >= 0 {
		c.timeName += " + " + c.call(c.clock)
	}
	return c, true, nil
}

// index is the column of a name, or of a number from 1 that is no name.
func (c columns) index(pin string) int {
	pin = strings.Join(strings.Fields(pin), " ")
	if i := slices.IndexFunc(c.names, func(n string) bool { return strings.EqualFold(n, pin) }); i >= 0 {
		return i
	}
	if n, err := strconv.Atoi(pin); err == nil && n >= 1 && n <= len(c.names) {
		return n - 1
	}
	return -1
}

// call is a column's name if that finds it, else its number.
func (c columns) call(i int) string {
	if c.names[i] != "" && c.index(c.names[i]) == i && !strings.Contains(c.names[i], " + ") {
		return c.names[i]
	}
	return strconv.Itoa(i + 1)
}

func quoted(names []string) string {
	var b strings.Builder
	for i, n := range names {
		if n == "" {
			continue
		}
		if i > 0 {
			b.WriteString(", ")
		}
		if b.Len() > 300 {
			b.WriteString("...")
			break
		}
		fmt.Fprintf(&b, "%q", n)
	}
	return b.String()
}

// cellUnit is the unit of temperature that stands behind a number, or alone
// under a header.
func cellUnit(s string) (TempUnit, bool) {
	s = strings.TrimSpace(s)
	switch strings.ToUpper(s) {
	case "C", "F", "K":
		return TempUnit(strings.ToUpper(s)), true
	}
	u, both := tempUnitOf(s)
	return u, u != "" && !both && len(s) <= len("[Fahrenheit]")
}
