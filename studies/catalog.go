package studies

import (
	"embed"
	"io/fs"
)

//go:embed catalog/*.toml
var catalog embed.FS

// Catalog holds the shipped studies, one file NAME.toml each. It is read only.
func Catalog() fs.FS {
	sub, err := fs.Sub(catalog, "catalog")
	if err != nil {
		return catalog // not reached: the folder is embedded above
	}
	return sub
}
