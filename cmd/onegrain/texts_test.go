package main

import (
	"io"
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
		if own && (c.Short == "" || strings.Contains(c.Short, "\n") || !strings.HasPrefix(c.Example+c.Long, "  ") && c.Runnable()) {
			t.Errorf("%s: %q, and a page that begins with %.40q", c.CommandPath(), c.Short, c.Example+c.Long)
		}
		read[c.Name()+".txt"] = true
		for _, sub := range c.Commands() {
			look(sub)
		}
	}
	look(root)
	files, err := pages.ReadDir("help")
	if err != nil || len(files) < 15 {
		t.Fatalf("%d pages, %v", len(files), err)
	}
	for _, f := range files {
		if !read[f.Name()] {
			t.Errorf("%s is nobody's page", f.Name())
		}
	}
}
