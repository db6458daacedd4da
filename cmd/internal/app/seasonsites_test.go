package app

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"limeday/drying"
)

func TestReadSites(t *testing.T) {
	got, err := readSites("sites.csv", strings.NewReader("\ufeffName, Lat,lon,zone,weather,altitude\nWeir,52.1,-1.5,Europe/London,a.epw;b.gz,85\n\"Holm, upper\",-60,10,,,\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 2 || got[0].Name != "Weir" || got[0].Lat != 52.1 || got[0].Zone.String() != "Europe/London" || !slices.Equal(got[0].Weather, []string{"a.epw", "b.gz"}) ||
		got[0].Altitude != 85 || got[1].Name != "Holm, upper" || got[1].Zone != time.UTC || got[1].Weather != nil {
		t.Errorf("%+v", got)
	}
	for want, text := range map[string]string{
		"sites.csv:1: there is no header":              "",
		"sites.csv:1: there is no column lon":          "name,lat\nA,5\n",
		"unknown column \"latt\"; did you mean lat?":   "name,latt,lon\nA,5,6\n",
		"the column lat is there twice":                "name,lat,lat,lon\nA,5,5,6\n",
		"sites.csv:2: lat is \"95\"; give degrees":     "name,lat,lon\nA,95,6\n",
		"sites.csv:3: A is the name of the site in li": "name,lat,lon\nA,5,6\nA,6,7\n",
		"sites.csv:2: the site has no name":            "name,lat,lon\n,5,6\n",
		"zone is \"Nowhere/At\"; give its IANA name":   "name,lat,lon,zone\nA,5,6,Nowhere/At\n",
		"there is no site in it":                       "name,lat,lon\n",
		"sites.csv:2: it cannot be read as CSV":        "name,lat,lon\n\"A,5,6\n",
		"sites.csv:3: lon is \"\"":                     "name,lat,lon\nA,5,6\nB,5\n",
	} {
		if _, err := readSites("sites.csv", strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", want, err)
		}
	}
}

func FuzzReadSites(f *testing.F) {
	f.Add("name,lat,lon,altitude,zone,weather\nA,5,6,7,Europe/Dublin,a;b\n")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := readSites("f", strings.NewReader(text))
		if (err == nil) == (len(got) == 0) {
			t.Errorf("%d sites, %v", len(got), err)
		}
	})
}

// Every site is in one shard; parts of a list merge to the whole.
func TestShards(t *testing.T) {
	var sites []seasonSite
	for i := range 17 {
		sites = append(sites, seasonSite{Name: fmt.Sprint(i)})
	}
	for n := 1; n <= 20; n++ {
		count := map[string]int{}
		for i := 1; i <= n; i++ {
			for _, s := range shardOf(sites, i, n) {
				count[s.Name]++
			}
		}
		for _, s := range sites {
			if count[s.Name] != 1 {
				t.Errorf("of %d shards, %s is in %d", n, s.Name, count[s.Name])
			}
		}
	}
	for _, bad := range []string{"", "3", "0/4", "5/4", "a/b", "1/0", "-1/3", "1/2/3"} {
		if _, _, err := parseShard(bad); err == nil {
			t.Errorf("%q is taken for a shard", bad)
		}
	}
	if i, n, err := parseShard("3/20"); i != 3 || n != 20 || err != nil {
		t.Errorf("%d/%d, %v", i, n, err)
	}
}

// A run that was stopped goes on where it was: what is whole is kept, what was cut off or had no answer is tried again, and no line is lost.
func TestEachSiteResumes(t *testing.T) {
	path := filepath.Join(t.TempDir(), "results.jsonl")
	sites := []seasonSite{{Name: "A"}, {Name: "B"}, {Name: "C"}, {Name: "D"}}
	var asked []string
	ctx, stop := context.WithCancel(context.Background())
	work := func(s seasonSite) (any, error) {
		asked = append(asked, s.Name)
		switch s.Name {
		case "B":
			return nil, errors.New("no weather")
		case "C":
			stop()
		}
		return map[string]int{"of": int(s.Name[0])}, nil
	}
	quiet := func(string) {}
	if _, _, _, err := eachSite(ctx, sites, path, quiet, work); !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.WriteString(`{"schema":"limeday.season-site/1","site":"C","la`); err != nil { // cut off in writing
		t.Fatal(err)
	}
	f.Close()
	before, _ := os.ReadFile(path)
	asked = nil
	worked, skipped, failed, err := eachSite(context.Background(), sites, path, quiet, work)
	if err != nil || worked != 2 || skipped != 1 || failed != 1 || !slices.Equal(asked, []string{"B", "C", "D"}) {
		t.Errorf("%d worked out, %d skipped, %d failed, asked %q: %v", worked, skipped, failed, asked, err)
	}
	after, _ := os.ReadFile(path)
	if !strings.HasPrefix(string(after), string(before)) || strings.Count(string(after), "\n") != 6 || !strings.Contains(string(after), `"site":"B","model":"`+drying.Fingerprint+`","lat":0,"lon":0,"error":"no weather","season":null`) {
		t.Errorf("%s", after)
	}
	done, cut, err := doneSites(path)
	if err != nil || cut || len(done) != 4 || done["B"] || !done["C"] {
		t.Errorf("%v %v %v", done, cut, err)
	}
	other := filepath.Join(t.TempDir(), "notes.txt")
	if err := os.WriteFile(other, []byte("my notes\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, _, err := eachSite(context.Background(), sites, other, quiet, work); err == nil || !strings.Contains(err.Error(), "this is no result of a site") {
		t.Errorf("%v", err)
	}
	if kept, _ := os.ReadFile(other); string(kept) != "my notes\n" {
		t.Errorf("%q", kept)
	}
}
