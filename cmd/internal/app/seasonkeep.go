package app

import (
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"hash"
	"io"
	"math"
	"os"
	"path/filepath"
	"sort"
	"time"

	"limeday/cmd/internal/infile"
	"limeday/cmd/internal/outfile"
	"limeday/drying"
	"limeday/drying/season"
	"limeday/weather"
)

// seasonKeeper keeps the days of a season in the user's cache, a file for each wall and year, named by what they were worked
// out from.
type seasonKeeper struct {
	ctx    context.Context
	folder string
	model  string // what was worked out by another is not read again
	ask    season.Ask
}

// newSeasonKeeper keeps nothing where there is no cache.
func newSeasonKeeper(ctx context.Context, cache string, ask season.Ask) season.Keeper {
	if cache == "" {
		return nil
	}
	return &seasonKeeper{ctx, filepath.Join(cache, "limeday", "season"), drying.Fingerprint, ask}
}

// path is the file of a wall's year.
func (k *seasonKeeper) path(wall, year int) string {
	j, y := k.ask.Walls[wall], k.ask.Weather.Years[year]
	h := sha256.New()
	said, err := json.Marshal(struct {
		Model          string
		Job            drying.Job
		Zone           string
		Timing         [][]float64
		Starts         []time.Duration
		Typical, South bool
		From, To       int64
	}{k.model, keyed(j), j.Zone.String(), timingRows(j.Timing), k.ask.Starts, k.ask.Weather.Typical, k.ask.Weather.South, y.From.Unix(), y.To.Unix()})
	if err != nil {
		panic("app: a job that cannot be told apart: " + err.Error()) // it holds plain numbers and names
	}
	h.Write(said)
	hashWeather(h, k.ask.Weather.Series, y.From.AddDate(0, 0, -14), y.To.Add(drying.Afterwards(j)))
	return filepath.Join(k.folder, hex.EncodeToString(h.Sum(nil))[:32]+".json.gz")
}

// keyed is the job without what is not of the weather's making, or cannot be written.
func keyed(j drying.Job) drying.Job {
	j.Zone, j.Timing, j.Laid = nil, nil, nil
	return j
}

func timingRows(t *drying.Timing) [][]float64 {
	if t == nil {
		return nil
	}
	return append([][]float64{t.Mean}, t.Rows()...)
}

// hashWeather adds the records from one moment to another.
func hashWeather(h hash.Hash, s weather.Series, from, to time.Time) {
	i := sort.Search(len(s.Records), func(i int) bool { return !s.Records[i].Time.Before(from) })
	var b [8]byte
	put := func(u uint64) {
		binary.LittleEndian.PutUint64(b[:], u)
		h.Write(b[:])
	}
	for ; i < len(s.Records) && s.Records[i].Time.Before(to); i++ {
		r := s.Records[i]
		put(uint64(r.Time.Unix()))
		for _, v := range []weather.Value{r.Temperature, r.Vapour, r.Pressure, r.Wind, r.WindFrom, r.Cloud, r.Rain, r.Global, r.Direct, r.Diffuse} {
			if !v.Known() {
				put(math.Float64bits(math.NaN()))
				continue
			}
			put(math.Float64bits(v.V))
		}
	}
}

// maxKept is the most that is read of a year's days, unpacked, in bytes: they take some hundred kilobytes.
const maxKept = 16 << 20

// Load implements season.Keeper; what cannot be read is worked out again.
func (k *seasonKeeper) Load(wall, year int) (season.Days, bool) {
	f, err := infile.Open(k.path(wall, year))
	if err != nil {
		return season.Days{}, false
	}
	defer f.Close()
	var d season.Days
	z, err := gzip.NewReader(f)
	if err != nil {
		return d, false
	}
	if err := json.NewDecoder(io.LimitReader(z, maxKept)).Decode(&d); err != nil || len(d.Days) == 0 {
		return season.Days{}, false
	}
	return d, true
}

// Save implements season.Keeper. A cache that cannot be written costs the next run its time, and nothing else.
func (k *seasonKeeper) Save(wall, year int, d season.Days) error {
	if err := os.MkdirAll(k.folder, 0o700); err != nil {
		return nil
	}
	f, err := outfile.Stage(k.ctx, k.path(wall, year), true, func(w io.Writer) error {
		z := gzip.NewWriter(w)
		if err := json.NewEncoder(z).Encode(d); err != nil {
			return fmt.Errorf("the season's cache: %w", err)
		}
		return z.Close()
	})
	if err != nil {
		return nil
	}
	_ = f.Commit()
	return nil
}
