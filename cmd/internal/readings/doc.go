// Package readings reads the air that someone noted or a logger wrote, in the
// one plain form limeday writes itself: a CSV with the header
// time,temp_c,rh_pct, RFC 3339 times with their offset, C, and percent over
// liquid water.
//
// Not here: other loggers' columns, separators and units; smoothing; filling
// of gaps. A file with an impossible value is refused, never mended.
package readings
