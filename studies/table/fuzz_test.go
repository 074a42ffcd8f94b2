package table

import (
	"errors"
	"testing"

	"onegrain/studies/column"
	"onegrain/studies/disk/trial"
)

// seeds are all files of the specimens that end so.
func seeds(f *testing.F, end string) {
	f.Helper()
	m := trial.NewMemory()
	h := newSaga(7, m)
	for h.failures == 0 || len(h.fields) == 0 {
		if err := h.command(&trial.Failing{Disk: m, Fail: func(int, string, string) error { return nil }}, 2); err != nil {
			f.Fatal(err)
		}
	}
	folder, err := Open("out/r", m)
	if err != nil {
		f.Fatal(err)
	}
	for _, table := range column.Tables() {
		files, err := folder.files(table)
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range append(files, manifestName, "provenance.json") {
			if data, err := m.ReadFile("out/r/" + name); err == nil && len(name) > len(end) && name[len(name)-len(end):] == end {
				f.Add(data)
			}
		}
	}
}

// Any bytes are a table or damage; what was read can be written and read again.
func FuzzParquet(f *testing.F) {
	seeds(f, ending)
	f.Fuzz(func(t *testing.T, data []byte) {
		rows, err := decode("f", data)
		var c *Corrupt
		if err != nil && !errors.As(err, &c) {
			t.Fatalf("error %v of type %T", err, err)
		}
		if err != nil || rows.Schema.Check() != nil || rows.Len() > 10_000 {
			return
		}
		again, err := encode(rows, nil)
		if err != nil {
			return // columns that cannot be written, such as those of an empty name
		}
		back, err := decode("g", again)
		if err != nil || back.Len() != rows.Len() {
			t.Fatalf("%d rows, read again: %v", rows.Len(), err)
		}
	})
}

// Any text is a record as it was written or damage: nothing else gets through.
func FuzzManifest(f *testing.F) {
	seeds(f, ".json")
	f.Fuzz(func(t *testing.T, data []byte) {
		m := trial.NewMemory()
		folder := &Folder{dir: "out", disk: m}
		if err := errors.Join(m.Mkdir("out"), folder.publish(manifestName, data),
			folder.publish("provenance.json", data)); err != nil {
			t.Fatal(err)
		}
		var c *Corrupt
		if _, err := folder.listed(); err != nil && !errors.As(err, &c) {
			t.Fatalf("manifest: error %v of type %T", err, err)
		}
		if _, err := folder.sessions("provenance.json"); err != nil && !errors.As(err, &c) {
			t.Fatalf("provenance: error %v of type %T", err, err)
		}
	})
}
