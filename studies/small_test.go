package studies

import (
	"os"
	"testing"
)

// small is a study of six cases that runs in milliseconds: a plane seen from above.
var small = func() string {
	text, err := os.ReadFile("testdata/small.toml")
	if err != nil {
		panic(err)
	}
	return "\n" + string(text)
}()

func load(t *testing.T, text string) *Study {
	t.Helper()
	s, err := Load("small.toml", []byte(text), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
