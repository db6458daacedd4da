package app

import "runtime"

// Version of limeday. It stands in the code, so that a build from any copy of
// the source knows it.
const Version = "0.1.0"

type versionAnswer struct {
	Schema   string `json:"schema"`
	Version  string `json:"version"`
	Go       string `json:"go"`
	Platform string `json:"platform"`
}

func versionInfo() versionAnswer {
	return versionAnswer{"limeday.version/1", Version, runtime.Version(), runtime.GOOS + "/" + runtime.GOARCH}
}
