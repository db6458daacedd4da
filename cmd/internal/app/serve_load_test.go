//go:build study

package app

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// TestLoad has 50 clients change the bench at once for ten seconds, each as soon as its last answer has come and every fifth
// time with bands, and prints what they waited. go test -tags study -run TestLoad -v ./cmd/internal/app
func TestLoad(t *testing.T) {
	s := serving(t, t.TempDir())
	const clients = 50
	waits := make([][]time.Duration, clients)
	banded := make([][]time.Duration, clients)
	var failed sync.Map
	end := time.Now().Add(10 * time.Second)
	var wg sync.WaitGroup
	client := &http.Client{Timeout: time.Minute, Transport: &http.Transport{MaxIdleConnsPerHost: clients}}
	for c := range clients {
		wg.Go(func() {
			for i := 0; time.Now().Before(end); i++ {
				q := usualBench()
				q.Set("rh", fmt.Sprint(30+(7*c+3*i)%60))
				q.Set("temp", fmt.Sprint(8+(c+i)%20))
				q.Set("was", usualBench().Encode())
				if i%5 == 4 {
					q.Set("bands", "1")
				}
				began := time.Now()
				if err := askPart(client, s.base+"/bench?"+q.Encode()); err != nil {
					failed.Store(err.Error(), true)
				}
				if wait := time.Since(began); i%5 == 4 {
					banded[c] = append(banded[c], wait)
				} else {
					waits[c] = append(waits[c], wait)
				}
			}
		})
	}
	wg.Wait()
	for name, w := range map[string][][]time.Duration{"drawings": waits, "with bands": banded} {
		all := slices.Concat(w...)
		slices.Sort(all)
		at := func(p float64) time.Duration { return all[int(p*float64(len(all)-1))].Round(time.Millisecond) }
		fmt.Printf("%s: %d answers, median %v, p99 %v, longest %v\n", name, len(all), at(0.5), at(0.99), at(1))
	}
	failed.Range(func(k, _ any) bool { t.Error(k); return true })
	status, _ := os.ReadFile("/proc/self/status")
	for _, line := range strings.Split(string(status), "\n") {
		if strings.HasPrefix(line, "VmHWM") {
			fmt.Println("most memory", strings.TrimSpace(strings.TrimPrefix(line, "VmHWM:")))
		}
	}
}

func askPart(client *http.Client, address string) error {
	if _, err := url.Parse(address); err != nil {
		return err
	}
	req, err := http.NewRequest("GET", address, nil)
	if err != nil {
		return err
	}
	req.Header.Set("X-Limeday", "page")
	r, err := client.Do(req)
	if err != nil {
		return err
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err == nil && (r.StatusCode != 200 || !strings.Contains(string(body), "<svg")) {
		err = fmt.Errorf("status %d", r.StatusCode)
	}
	return err
}
