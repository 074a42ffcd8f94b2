package main

import (
	"io"
	"io/fs"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// Every page has a first line and a text, every command a page, and every file of the folder is
// somebody's page.
func TestEveryPageIsRead(t *testing.T) {
	root := tree(streams{out: io.Discard, err: io.Discard})
	read := map[string]bool{"onegrain.txt": true}
	var look func(c *cobra.Command)
	look = func(c *cobra.Command) {
		own := c.Name() != "help" && !strings.HasPrefix(c.CommandPath(), "onegrain completion")
		begins := strings.HasPrefix(c.Long, "  ") || !c.Runnable()
		if own && (c.Short == "" || strings.Contains(c.Short, "\n") || !begins) {
			t.Errorf("%s: %q, and a page that begins with %.40q", c.CommandPath(), c.Short, c.Long)
		}
		read[c.Name()+".txt"] = true
		for _, sub := range c.Commands() {
			look(sub)
		}
	}
	look(root)
	files := 0
	err := fs.WalkDir(pages, "help", func(file string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		if files++; !read[e.Name()] {
			t.Errorf("%s is nobody's page", file)
		}
		return nil
	})
	if err != nil || files < 15 {
		t.Errorf("%d pages, %v", files, err)
	}
}
