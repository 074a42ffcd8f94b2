package cluster

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
)

// copyName is what a file that a study names is called beside the copy of a study that was
// submitted.
func copyName(name string) string {
	h := sha256.Sum256([]byte(name))
	return hex.EncodeToString(h[:8])
}

// Beside reads files that stand beside a study, or were kept with it when it was submitted.
func Beside(path string) func(name string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		if data, err := os.ReadFile(filepath.Join(filepath.Dir(path), copyName(name))); err == nil {
			return data, nil
		}
		if !filepath.IsAbs(name) {
			name = filepath.Join(filepath.Dir(path), name)
		}
		return os.ReadFile(name)
	}
}

// BesideResults reads files that stand beside the study of a results folder, or were kept with it
// when it was submitted.
func BesideResults(dir string, study []byte) func(name string) ([]byte, error) {
	one := strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(dir) // a pattern that means it alone
	copies, _ := filepath.Glob(filepath.Join(one, "submit", "*", "study", "*"))
	for _, path := range copies {
		if text, err := os.ReadFile(path); err == nil && bytes.Equal(text, study) {
			return Beside(path)
		}
	}
	return Beside(filepath.Join(dir, "study.toml"))
}
