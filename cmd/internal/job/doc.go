// Package job reads a job file: one wall or room, its place, its build-up from
// the background outwards, the coats to be laid, the openings and scaffold of
// each wall, the hours and crew, and the limits of the data sheet.
//
// [Load] and [Parse] report every fault of a file, each with its line, rather
// than the first. A number may carry its unit ("0.1mm"); a bare one follows
// units = "metric" or "us" at the top of the file.
//
// Not here: whether a thickness suits a finish, or a finish a background. The
// names of both are handed in by the caller, and only what is physically
// impossible is refused. Walls are flat rectangles, and so are their openings;
// whether the crew's rates, breaks and joints suit the job is not judged.
package job
