package table

import (
	"os"
	"path/filepath"
)

// publish puts a file in place whole or not at all: a temporary name in the same folder (one that no reader takes for a table),
// fsync, rename, and fsync of the folder, without which the new name may be lost with the power.
func publish(path string, data []byte) (err error) {
	dir := filepath.Dir(path)
	t, err := os.CreateTemp(dir, ".unfinished-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			t.Close()
			os.Remove(t.Name())
		}
	}()
	if _, err = t.Write(data); err != nil {
		return err
	}
	if err = t.Chmod(0o644); err != nil {
		return err
	}
	if err = t.Sync(); err != nil {
		return err
	}
	if err = t.Close(); err != nil {
		return err
	}
	if err = os.Rename(t.Name(), path); err != nil {
		return err
	}
	return syncFolder(dir)
}

func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
