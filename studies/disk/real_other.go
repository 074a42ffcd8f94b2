//go:build !unix

package disk

// Elsewhere links are rare and need rights of their own, and folders cannot be synced.
const (
	noFollow     = 0
	syncsFolders = false
)
