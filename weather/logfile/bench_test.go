package logfile_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"limeday/weather/logfile"
)

// 100 000 rows: ten weeks of a reading a minute.
func BenchmarkRead(b *testing.B) {
	content := rows("Date;Time;Temp (°C);RH (%)", 100_000, time.Minute, func(i int, at time.Time) string {
		return fmt.Sprintf("%s;%d,%d;%d,%d", at.Format("02/01/2006;15:04:05"), 10+i/60%10, i%10, 60+i/60%10, i%10)
	})
	b.SetBytes(int64(len(content)))
	b.ReportAllocs()
	for b.Loop() {
		res, err := logfile.Read("x.csv", strings.NewReader(content), utc)
		if err != nil || len(res.Series.Records) != 100_000 {
			b.Fatal(err)
		}
	}
}
