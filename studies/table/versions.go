package table

import (
	"slices"
	"strings"
)

// ModelVersions are the versions of the physics that sessions have written to the folder with, but for that of this one, in order.
func (f *Folder) ModelVersions() ([]string, error) {
	list, err := f.disk.ReadDir(f.dir)
	if err != nil {
		return nil, err
	}
	var all []string
	for _, e := range list {
		if !isProvenance(e.Name()) || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		told, err := f.sessions(e.Name())
		if err != nil {
			return nil, err
		}
		for _, s := range told.Sessions {
			if s.ModelVersion != f.told.ModelVersion {
				all = append(all, s.ModelVersion)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all), nil
}
