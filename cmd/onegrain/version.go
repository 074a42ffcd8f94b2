package main

import "runtime/debug"

// release is the version of the program; the model's own is studies.ModelVersion.
const release = "0.1.0"

// version is the release, with the revision it was built from where the build knows it.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return release
	}
	revision, changed := "", ""
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			revision = s.Value
		case "vcs.modified":
			if s.Value == "true" {
				changed = ".changed"
			}
		}
	}
	if len(revision) < 12 {
		return release
	}
	return release + "+" + revision[:12] + changed
}
